/** Emphasis in text for people. A terminal may show it in colour; it never changes the characters. */
export interface Paint {
  readonly title: (text: string) => string;
  readonly strong: (text: string) => string;
  readonly faint: (text: string) => string;
  readonly warning: (text: string) => string;
}

/** No emphasis: for pipes, files and NO_COLOR. */
export const plainPaint: Paint = {
  title: (text) => text,
  strong: (text) => text,
  faint: (text) => text,
  warning: (text) => text,
};
