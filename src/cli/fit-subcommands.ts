// The subcommands of `fit`, to be loaded together.

export { fitCoastdownCommand } from './fit-coastdown.ts';
export { fitDriveCommand } from './fit-drive.ts';
export { fitEngineCommand } from './fit-engine.ts';
export { fitSpindownCommand } from './fit-spindown.ts';
