import type { Sensor } from '../../schemas/sensor.ts'
import type { Layout } from '../../shared/judging/layout.ts'
import { isWorking, judgeOf } from '../../shared/judging/silence.ts'
import { isInAir } from '../../shared/judging/thermal-role.ts'
import type { WatchState } from '../../shared/judging/watch-state.ts'

/** A place that a compressor or a cellar keeps cold, with what is around it. */
export interface CooledPlace {
  readonly p: number
  /** The place and those around it, out to the fridge or cold room itself. */
  readonly shell: readonly number[]
  /** What is around that, nearest first. */
  readonly outside: readonly number[]
}

/** Null where nothing cools it: what is warmed, or swings by purpose, is held by no walls. */
export function cooledPlace(layout: Layout, p: number): CooledPlace | null {
  const here = layout.places[p]
  if (here === undefined) return null
  const out = [p, ...here.around]
  const walls = out.findIndex((q) => {
    const kind = layout.places[q]?.place.kind
    return kind === 'fridge' || kind === 'coldRoom'
  })
  const isHeldOtherwise = out.slice(0, Math.max(0, walls)).some((q) => layout.places[q]?.place.kind !== 'box')
  if (walls < 0 || isHeldOtherwise) return null
  return { p, shell: out.slice(0, walls + 1), outside: out.slice(walls + 1) }
}

/** The working thermometer that judges the place; in its air, where there are several. */
export function judgingSensor(watch: WatchState, { p, shell }: CooledPlace): Sensor | null {
  const judge = judgeOf(watch, p)
  if (judge === null || !shell.includes(judge)) return null
  const { layout } = watch
  const working = (layout.places[judge]?.sensors ?? [])
    .filter((s) => isWorking(watch, s))
    .flatMap((s) => layout.sensors[s] ?? [])
    .filter(({ type }) => type !== 'contact')
  return working.find(isInAir) ?? working[0] ?? null
}
