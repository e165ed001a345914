/**
 * Lets what a plug-in prints go to standard error, since it is no result; our own results go to the
 * descriptor. No stream is made before somebody prints.
 */
export function divertPlugInOutput(): void {
  Object.defineProperty(process, 'stdout', { configurable: true, get: () => process.stderr });
}
