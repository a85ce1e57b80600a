import type { BrokerState } from '../../schemas/api.ts'
import type { Instant } from '../../schemas/units.ts'
import { minutes } from '../../schemas/amounts.ts'
import { durationWords } from '../../shared/telling/words.ts'
import type { TimeEvent } from '../../shared/time/house-time.ts'
import type { House } from '../app/house.ts'
import type { HouseClock } from '../app/house-clock.ts'
import type { LoopWatch } from '../host/loop-watch.ts'
import type { Broker } from '../ports/broker.ts'
import type { Clock } from '../ports/clock.ts'
import type { Opened } from '../sqlite/opening.ts'

/** From this long on, standing still is a gap in listening like a stop of the daemon (L7). */
const gapFrom = minutes(2)

/** Lets the house know how the stages of the daemon are (N1), and what happens to its time (N3). */
export function watchStages(world: {
  readonly house: House
  readonly broker: Broker
  /** Null in practice, whose time is invented. */
  readonly houseTime: HouseClock | null
  readonly clock: Clock
  readonly loop: Pick<LoopWatch, 'tick'>
}) {
  const { house, broker, houseTime, clock, loop } = world

  let noted: BrokerState['name'] | null = null
  broker.onState((state) => {
    house.publish({ kind: 'broker', broker: state })
    if (state.name === 'starting') return
    // Each try that fails says so; the journal keeps the first.
    if (state.name !== noted)
      house.note({
        at: clock.now(),
        kind: state.name === 'up' ? 'brokerUp' : 'brokerDown',
        by: 'brumal',
        text: state.sentence,
      })
    noted = state.name
    house.report('broker', state.name === 'up', state.sentence)
  })
  broker.onForgotten(() => {
    const text = 'While it was away the broker forgot us: what sensors sent meanwhile is lost.'
    house.report('session', false, text)
    house.report('session', true, text)
  })

  function timeChanged(event: TimeEvent | null): void {
    if (event === null) return
    const { kind, was, at, by } = event
    const words = `${by < 0 ? 'back' : 'forward'} by ${durationWords(Math.abs(by))}`
    if (kind === 'lostTrust') {
      house.report('clock', false, distrust(clock.now(), by))
      return
    }
    house.clockSet(
      was,
      at,
      `It went ${words}. What was being counted goes on with the time that truly passed.`,
    )
    if (kind === 'becameTrusted') house.report('clock', true, `The clock is right again; it went ${words}.`)
    house.publish({ kind: 'tonight' })
  }

  function attend(): void {
    const stoodStill = loop.tick()
    if (stoodStill !== null) {
      const text = `Judging stood still for ${durationWords(stoodStill)}.`
      house.report('loop', false, text)
      house.report('loop', true, text)
      if (stoodStill >= gapFrom) house.take({ kind: 'listening', at: clock.now() }, 'soon')
    }
    timeChanged(houseTime?.step() ?? null)
  }

  return {
    /** What stands from the last run is settled by how things are now. */
    begin({ way, sentence }: Pick<Opened, 'way' | 'sentence'>): void {
      for (const stage of ['store', 'loop', 'session', 'history'] as const)
        house.report(stage, true, 'Brumal started.')
      if (houseTime === null || houseTime.isTrusted()) house.report('clock', true, 'The clock is believed.')
      else house.report('clock', false, distrust(clock.now(), 0))
      if (sentence === null) return
      if (way === 'inMemory') house.housekeeping('disk', new Error(sentence))
      if (way === 'recovered') {
        house.note({ at: clock.now(), kind: 'databaseSetAside', by: 'brumal', text: sentence.slice(0, 500) })
        house.report('history', false, sentence)
        house.report('history', true, sentence)
      }
    },
    attend,
    onStamp(stamp: Instant): void {
      if (houseTime !== null && !houseTime.isTrusted()) timeChanged(houseTime.heard(stamp))
    },
  }
}

function distrust(now: Instant, by: number): string {
  const off = by === 0 ? '' : ` (it is ${durationWords(Math.abs(by))} ${by < 0 ? 'behind' : 'ahead'})`
  return `The clock of this computer cannot be right${off}. Time is counted on from ${new Date(now).toISOString().slice(0, 16).replace('T', ' ')} UTC until it is.`
}
