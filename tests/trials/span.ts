/** A stretch of time in ms; `to` is left out. */
export interface Span {
  readonly from: number
  readonly to: number
}

/** The stretch that covers an instant, for instants that only grow; spans in order of their beginnings. */
export function covering<S extends Span>(spans: readonly S[]): (at: number) => S | null {
  let i = 0
  return (at) => {
    for (;;) {
      const span = spans[i]
      if (span === undefined || span.from > at) return null
      if (at < span.to) return span
      i += 1
    }
  }
}

export const inOrder = <S extends Span>(spans: readonly S[]): S[] =>
  [...spans].sort((one, other) => one.from - other.from)
