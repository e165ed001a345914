/**
 * Breaks a text into lines at its blanks. A word longer than a line stands alone and sticks out.
 * @param text one paragraph
 * @param width most characters of a line, the indent with them
 * @param indent of every line
 * @returns the lines, without line ends
 */
export function wrap(text: string, width: number, indent = ''): string[] {
  const lines: string[] = [];
  let line = '';
  for (const word of text.split(' ')) {
    if (line !== '' && indent.length + line.length + 1 + word.length > width) {
      lines.push(indent + line);
      line = '';
    }
    line = line === '' ? word : `${line} ${word}`;
  }
  lines.push(indent + line);
  return lines;
}
