/** All was compared and written, but a gate does not hold. */
export class GatesNotHeld extends Error {
  constructor(message: string) {
    super(message);
    this.name = 'GatesNotHeld';
  }
}
