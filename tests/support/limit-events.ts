import fc, { type Arbitrary } from 'fast-check'
import type { Instant } from '../../schemas/units.ts'
import type { LimitEvent } from '../../shared/judging/limit.ts'

/** Up to `most` events of one limit, in order of time: readings by `values`, and now and then time or silence alone. */
export const limitEvents = (
  from: number,
  waits: Arbitrary<number>,
  values: readonly { readonly weight: number; readonly arbitrary: Arbitrary<number> }[],
  most: number,
): Arbitrary<LimitEvent[]> =>
  fc
    .array(
      fc.record({
        wait: waits,
        what: fc.oneof(
          ...values,
          { weight: 2, arbitrary: fc.constant('time' as const) },
          { weight: 1, arbitrary: fc.constant('silence' as const) },
        ),
      }),
      { maxLength: most },
    )
    .map((steps) => {
      let now = from
      return steps.map(({ wait, what }): LimitEvent => {
        now += wait
        const at = now as Instant
        if (what === 'time') return { kind: 'timePassed', at }
        return what === 'silence' ? { kind: 'fellSilent', at } : { kind: 'reading', at, value: what }
      })
    })
