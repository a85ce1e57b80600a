import { PlaceModel } from '../../schemas/scenario.ts'
import { PlaceId } from '../../schemas/ids.ts'
import { instant } from '../../schemas/amounts.ts'
import type { Instant, Millis } from '../../schemas/units.ts'
import { createWorld, type Conditions } from '../../daemon/practice/physics.ts'
import { seededRandom } from '../../daemon/practice/random.ts'
import type { Point } from '../../shared/thermal/lag.ts'

/** Midnight UTC, so that a daily swing has its hours. */
export const curveStart = instant(1_800_057_600_000)

/** The truth at one instant, in the order of the places. */
export interface Truth {
  readonly at: Instant
  readonly celsius: readonly number[]
  readonly running: readonly boolean[]
}

type Happening = (elapsed: number) => {
  readonly powered?: boolean
  readonly open?: boolean
  readonly stuck?: boolean
  readonly colder?: number
}

/** Seconds between two states: a thermostat is late by no more. */
const stepMs = 10_000

/** Runs the practice physics; what happens (doors, cuts, a stuck thermostat) happens to every fridge and cold room. */
export function practiceCurve(
  places: readonly object[],
  lasts: Millis,
  seed: number,
  happening: Happening = () => ({}),
): readonly Truth[] {
  const models = places.map((place) => PlaceModel.parse(place))
  const cooled = models.filter(({ kind }) => kind !== 'room' && kind !== 'box').map(({ id }) => id)
  const rooms = models.filter(({ kind }) => kind === 'room').map(({ id }) => id)
  const world = createWorld(models, curveStart, 0)
  const random = seededRandom(seed)
  const truth: Truth[] = []
  let state = world.start
  for (let elapsed = 0; elapsed < lasts; elapsed += stepMs) {
    const { powered = true, open = false, stuck, colder = 0 } = happening(elapsed)
    const conditions: Conditions = {
      powered,
      open: new Set<PlaceId>(open ? cooled : []),
      stuck: new Map(stuck === undefined ? [] : cooled.map((id) => [id, stuck])),
      colder: new Map(rooms.map((id) => [id, colder])),
    }
    state = world.step(state, stepMs, conditions, random)
    truth.push({ at: state.at, celsius: state.celsius, running: state.running })
  }
  return truth
}

export interface Probe {
  /** Which place, by its order. */
  readonly place: number
  /** A multiple of 10 s. */
  readonly every: Millis
  /** Standard deviation and smallest step, K. */
  readonly noise: number
  readonly step: number
  /** Share of readings lost. */
  readonly lost?: number
}

/** What a probe shows of it: noise, rounding, drop-outs. */
export function shownBy(truth: readonly Truth[], probe: Probe, seed: number): readonly Point[] {
  const random = seededRandom(seed).fork(`probe ${probe.place}`)
  return truth.flatMap(({ at, celsius }) => {
    if ((at - curveStart) % probe.every !== 0 || random.uniform() < (probe.lost ?? 0)) return []
    const shown = (celsius[probe.place] ?? Number.NaN) + probe.noise * random.normal()
    return [{ at, celsius: Math.round(shown / probe.step) * probe.step }]
  })
}

/** A cellar with a fridge as the practice household has it, and a box of soil in it. */
export const cellarFridge = (fridge: object = {}, room: object = {}) => [
  { id: 'cellar', kind: 'room', mean: 18, swing: 1, ...room },
  { id: 'fridge', kind: 'fridge', parent: 'cellar', ...fridge },
  { id: 'box', kind: 'box', parent: 'fridge' },
]
