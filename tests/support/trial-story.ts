import { later, millis, minutes } from '../../schemas/amounts.ts'
import { Sensor } from '../../schemas/sensor.ts'
import { Trial } from '../../schemas/trial.ts'
import type { TrialReport } from '../../schemas/trial-report.ts'
import type { Millis } from '../../schemas/units.ts'
import { silentAfter } from '../../shared/sensing/freshness.ts'
import { testudoHermanni } from '../../shared/species/testudo-hermanni.ts'
import type { Point } from '../../shared/thermal/lag.ts'
import { limitsOf, type ReportAsked, trialReport, type Walked } from '../../shared/thermal/trial-report.ts'
import { plugsOf, skipsOf, stretchOf } from '../../shared/thermal/trial-times.ts'
import { endTrialWalk, startTrialWalk, type WalkRules, walkTrial } from '../../shared/thermal/trial-walk.ts'
import { curveStart } from './practice-curve.ts'

/** One sensor of a trial run with what it said. */
export interface Heard {
  readonly id: string
  readonly points: readonly Point[]
  readonly place?: string
  readonly about?: object
  readonly isAir?: boolean
  /** Of the counted time, how much is known by the hour only. */
  readonly hourly?: Millis
}

export interface RunTold {
  readonly lasts: Millis
  readonly trial?: object
  /** How long it had gone on when one looks; its length unless said. */
  readonly looksAfter?: number
  readonly asked?: Partial<ReportAsked>
  readonly nights?: WalkRules['nights']
}

/** The report of a fridge from what its sensors said; a tortoise is meant to go in. */
export function reportOf(heard: readonly Heard[], told: RunTold, room: Heard | null = null): TrialReport {
  const { lasts, looksAfter = lasts, asked = {}, nights = [] } = told
  const trial = Trial.parse({ from: curveStart, until: null, by: 'Ada', ...told.trial })
  const run = stretchOf(trial, later(curveStart, looksAfter))
  const { species = [testudoHermanni], guidance = 'strict' } = asked
  const walked = ({
    id,
    points,
    place = 'fridge',
    about = {},
    isAir = true,
    hourly = millis(0),
  }: Heard): Walked => {
    const sensor = Sensor.parse({ id, name: id, place, topic: id, type: 'ds18b20', ...about })
    const plugs = plugsOf(trial, run)
    const walk = startTrialWalk({
      run,
      holds: silentAfter(sensor),
      isAir,
      skips: skipsOf(run, plugs, sensor.check),
      plugs,
      nights,
      limits: limitsOf(species, guidance),
    })
    for (const point of points) walkTrial(walk, point)
    endTrialWalk(walk)
    return { sensor, place: { id: place as Walked['place']['id'], name: place }, walk, hourly }
  }
  return trialReport({
    trial,
    run,
    kind: 'fridge',
    isGuarded: true,
    sensors: heard.map(walked),
    room: room === null ? null : walked({ place: 'cellar', isAir: false, ...room }),
    species,
    guidance,
    ...asked,
  })
}

/** A reading a minute that never moves. */
export function steady(celsius: number, lasts: Millis): readonly Point[] {
  return Array.from({ length: lasts / minutes(1) }, (_, i) => ({
    at: later(curveStart, i * minutes(1)),
    celsius,
  }))
}

/** The same spot, colder or warmer, and with a wider swing round the mean. */
export const moved = (points: readonly Point[], by: number): readonly Point[] =>
  points.map(({ at, celsius }) => ({ at, celsius: celsius + by }))

export const adviceOf = ({ advice }: TrialReport, about: string): readonly string[] =>
  advice.flatMap((one) => (one.about === about ? [one.says] : []))
