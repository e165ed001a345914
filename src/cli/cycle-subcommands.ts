// The subcommands of `cycle`, to be loaded together.

export { checkCommand } from './cycle-check.ts';
export { convertCommand } from './cycle-convert.ts';
export { cutCommand } from './cycle-cut.ts';
export { joinCommand } from './cycle-join.ts';
export { listCommand } from './cycle-list.ts';
export { repeatCommand } from './cycle-repeat.ts';
export { scaleCommand } from './cycle-scale.ts';
export { showCommand } from './cycle-show.ts';
export { splitCommand } from './cycle-split.ts';
