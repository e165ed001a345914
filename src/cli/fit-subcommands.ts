// The subcommands of `fit`, to be loaded together.

export { fitCoastdownCommand } from './fit-coastdown.ts';
export { fitSpindownCommand } from './fit-spindown.ts';
