/** What somebody typed as a number, with a point or a comma for the decimals; null where it is none. */
export function decimalOf(typed: string): number | null {
  const clean = typed.replace(/[\s\u202f\u00a0]/g, '').replace(',', '.')
  return /^(?:\d+\.?\d*|\.\d+)$/.test(clean) ? Number(clean) : null
}

/** The same where it may lie below nothing. */
export function signedDecimalOf(typed: string): number | null {
  const [, sign = '', rest = ''] = /^\s*([-−+]?)(.*)$/.exec(typed) ?? []
  const number = decimalOf(rest)
  return number === null ? null : sign === '' || sign === '+' ? number : -number || 0
}

/** A mass as it was typed, in g; null where it is none. */
export function gramsOf(typed: string, isInKilos: boolean): number | null {
  const number = decimalOf(typed)
  if (number === null || number <= 0) return null
  return isInKilos ? Math.round(number * 1e6) / 1e3 : number // to the milligram: 1000 × 10.071 is not 10071
}
