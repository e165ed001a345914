import { InvalidArgumentError } from 'commander';
import { suggest } from '../config/suggest.ts';

/** Headers by what they hold. */
type Headers<Quantity extends string> = Readonly<Partial<Record<Quantity, string>>>;

/**
 * Makes the reader of `--columns time=Zeit,speed=vFzg:kmh`. A header may hold commas. Given again the
 * option adds to what it said before.
 * @param quantities that may be named
 */
export function columnsReader<Quantity extends string>(
  quantities: readonly Quantity[],
): (text: string, before?: Headers<Quantity>) => Headers<Quantity> {
  return (text, before) => {
    const read: Partial<Record<Quantity, string>> = { ...before };
    for (const piece of text.split(/,(?=\s*[a-z_]+\s*=)/i)) {
      const [, name = piece, header = ''] = /^\s*([a-z_]+)\s*=(.*)$/i.exec(piece) ?? [];
      const quantity = quantities.find((known) => known === name.toLowerCase());
      if (quantity === undefined) {
        throw new InvalidArgumentError(unknownQuantity(name, quantities));
      }
      if (header.trim() === '') {
        throw new InvalidArgumentError(`No header stands behind ${name}=.`);
      }
      if (read[quantity] !== undefined) {
        throw new InvalidArgumentError(`${name} stands there twice.`);
      }
      read[quantity] = header.trim();
    }
    return read;
  };
}

function unknownQuantity(name: string, quantities: readonly string[]): string {
  const near = suggest(name, quantities);
  const meant = near === undefined ? '' : ` Did you mean ${near}?`;
  return `Expected QUANTITY=HEADER with one of ${quantities.join(', ')}, not ${name.trim()}.${meant}`;
}
