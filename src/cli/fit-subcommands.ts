// The subcommands of `fit`, to be loaded together.

export { fitCoastdownCommand } from './fit-coastdown.ts';
