/** The car could not drive what the trace asks, by more than the user tolerates. */
export class TraceNotFollowed extends Error {
  constructor(message: string) {
    super(message);
    this.name = 'TraceNotFollowed';
  }
}
