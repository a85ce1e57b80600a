/** What somebody typed as a number, with a point or a comma for the decimals; null where it is none. */
export function decimalOf(typed: string): number | null {
  const clean = typed.replace(/[\s\u202f\u00a0]/g, '').replace(',', '.')
  return /^(?:\d+\.?\d*|\.\d+)$/.test(clean) ? Number(clean) : null
}
