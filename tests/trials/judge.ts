import { instant, later } from '../../schemas/amounts.ts'
import { Household } from '../../schemas/household.ts'
import type { Alarm } from '../../schemas/alarm.ts'
import type { Priority } from '../../schemas/band.ts'
import type { PlaceId, SensorId } from '../../schemas/ids.ts'
import { startWatch, stepWatch, type WatchEvent } from '../../shared/judging/watch.ts'
import { profileOf } from '../../shared/species/catalogue.ts'
import { answeredAfter } from './definitions.ts'
import type { Setting } from './setting.ts'
import { isCooled } from './sort.ts'

/** An alarm as a person was told of it. */
export interface Told {
  readonly at: number
  /** `limit low`, `silent`, … */
  readonly kind: string
  readonly priority: Priority
  /** Whether it is about the place, what is in it or its sensors, and not about the room. */
  readonly isHere: boolean
  readonly sensor: string | null
}

export interface Subject {
  reading(sensor: string, at: number, value: number, heardAt: number): void
  timePassed(at: number): void
  tend(at: number, until: number): void
  readonly told: readonly Told[]
}

/** The real judge over a household of one place, told everything as the daemon tells it. */
export function realJudge(setting: Setting): Subject {
  const { household, main } = householdOf(setting)
  let state = startWatch(household, profileOf, instant(setting.start))
  const told: Told[] = []
  const toAnswer: { readonly alarm: Alarm; readonly due: number }[] = []
  const step = (event: WatchEvent, now: number): void => {
    const [next, effects] = stepWatch(state, event)
    state = next
    for (const effect of effects) {
      if (effect.kind !== 'tell' || effect.why !== 'raised') continue
      const { alarm } = effect
      told.push({
        at: now,
        kind: alarm.limit === null ? alarm.kind : `${alarm.kind} ${alarm.limit}`,
        priority: alarm.priority,
        isHere: alarm.place !== null && alarm.place !== room && alarm.sensor !== 'outside',
        sensor: alarm.sensor,
      })
      toAnswer.push({ alarm, due: now + answeredAfter })
    }
  }
  step({ kind: 'listening', at: instant(setting.start) }, setting.start)
  return {
    told,
    reading(sensor, at, value, heardAt) {
      const reading = { sensor: sensor as SensorId, quantity: 'temperature', at: instant(at), value } as const
      step({ kind: 'reading', reading, heardAt: instant(heardAt) }, heardAt)
    },
    timePassed(at) {
      step({ kind: 'timePassed', at: instant(at) }, at)
      while (toAnswer[0] !== undefined && toAnswer[0].due <= at) {
        const { alarm } = toAnswer.shift() as { alarm: Alarm }
        step(
          { kind: 'person', alarm: alarm.id, act: { kind: 'acknowledge', at: instant(at), by: 'Ada' } },
          at,
        )
      }
    },
    tend(at, until) {
      step({ kind: 'tend', place: main, at: instant(at), until: instant(until), by: 'Ada' }, at)
    },
  }
}

const room = 'round'

function householdOf(setting: Setting): { readonly household: Household; readonly main: PlaceId } {
  const { sort, species, probes, stepMs } = setting
  const main = 'main' as PlaceId
  const hasBox = isCooled(sort)
  const kind = sort === 'garageFridge' ? 'fridge' : sort
  const inside = hasBox ? 'box' : 'main'
  const household = Household.parse({
    version: 1,
    name: 'Trial house',
    timeZone: 'UTC',
    hemisphere: setting.surroundings.hemisphere,
    places: [
      { id: room, name: 'Round it', kind: 'room' },
      { id: 'main', name: 'The place', kind, parent: room },
      ...(hasBox ? [{ id: 'box', name: 'The box', kind: 'box', parent: 'main' }] : []),
    ],
    sensors: probes.map(({ id, node, type }) => ({
      id,
      name: `Probe ${id}`,
      place: node === 'outside' ? room : node === 'air' ? 'main' : inside,
      spot: node === 'box' ? 'substrate' : 'air',
      type,
      topic: `brumal/in/${id}`,
      expectedEvery: stepMs,
    })),
    animals: [
      {
        id: 'juno',
        name: 'Juno',
        species,
        place: inside,
        ...(sort === 'enclosure'
          ? { mode: 'staysAwake' }
          : {
              mode: 'goesDown',
              plan: [{ phase: 'hold', from: later(instant(setting.start), -30 * 86_400_000) }],
            }),
      },
    ],
  })
  return { household, main }
}
