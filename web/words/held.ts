/** Numbers held together with their units, so that a line never breaks between them. */
export const held = (sentence: string): string =>
  sentence.replace(/(\d) (?=°C|%|(?:V|s|min|h|d)\b)/g, '$1\u00a0')
