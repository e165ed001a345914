/** Bytes of a digest. */
const SIZE = 32;

/** Digests one behind the other, in a third of the memory that texts would take. */
export class Digests {
  readonly #bytes: Buffer;

  constructor(count: number) {
    this.#bytes = Buffer.alloc(count * SIZE);
  }

  set(index: number, digest: string): void {
    this.#bytes.write(digest, index * SIZE, 'hex');
  }

  at(index: number): string {
    return this.#bytes.toString('hex', index * SIZE, (index + 1) * SIZE);
  }
}
