/**
 * Lets what waits for the event loop come: two turns from here, it has been through all of its phases.
 * Rejections, immediates and signals come in the first, timers that are due at the start of the next.
 */
export async function twoTurns(): Promise<void> {
  await turn();
  await turn();
}

function turn(): Promise<void> {
  return new Promise((resolve) => setImmediate(resolve));
}
