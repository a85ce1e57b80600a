/** A share of a width for a style, held inside it. */
export const percent = (share: number): string => `${(Math.min(1, Math.max(0, share)) * 100).toFixed(3)}%`
