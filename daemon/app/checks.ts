import { areDistinct, type Calibration } from '../../schemas/calibration.ts'
import type { Household } from '../../schemas/household.ts'
import type { SensorId } from '../../schemas/ids.ts'
import type { JournalEntry } from '../../schemas/journal.ts'
import type { Sensor } from '../../schemas/sensor.ts'
import { type FoundCorrection, longestCheck, mostRaw } from '../../schemas/sensor-check.ts'
import { later, minutes } from '../../schemas/amounts.ts'
import { correctionOf } from '../../shared/sensing/found-correction.ts'
import { protectionOf } from '../../shared/sensing/ice-point-steps.ts'
import { checkHolds } from '../../shared/sensing/under-check.ts'
import { durationWords, quantityWord } from '../../shared/telling/words.ts'
import { inReadersDigits } from '../../shared/words/reader.ts'
import type { Clock } from '../ports/clock.ts'
import type { Desk } from '../ports/desk.ts'
import type { EditRefusal } from '../ports/household.ts'
import type { Outcome } from '../ports/outcome.ts'
import type { Store } from '../ports/store.ts'
import { withOne } from './edits.ts'
import type { House } from './house.ts'
import { say } from '../../shared/words/say.ts'

/** To dry the probe and lay it back, once its correction is found; a probe that is still in the ice must raise nothing. */
export const puttingBack = minutes(20)
/** A client's clock may be this far ahead of ours. */
const toleratedAhead = minutes(1)
/** As many as the schema of a sensor takes. */
const mostCalibrations = 50

type Checks = Pick<Desk, 'checkSensor' | 'rawReadings' | 'addCalibration' | 'removeCalibration'>

/** What people may do to see how far a sensor is off. */
export function makeChecks(world: {
  readonly house: Pick<House, 'catchUp'>
  readonly store: Pick<Store, 'readings'>
  readonly clock: Clock
  readonly household: () => Household
  readonly save: (
    next: Household,
    by: string,
    text: string,
    about: Partial<JournalEntry>,
  ) => { readonly ok: true } | Extract<Outcome<never, EditRefusal>, { ok: false }>
}): Checks {
  const { house, store, clock, household } = world
  const sensorOf = (id: SensorId): Sensor | undefined => household().sensors.find((one) => one.id === id)

  function saved(sensor: Sensor, by: string, text: string, more: Partial<JournalEntry> = {}) {
    const about = { sensor: sensor.id, ...(sensor.place === null ? {} : { place: sensor.place }), ...more }
    const outcome = world.save(withOne(household(), 'sensors', sensor), by, text, about)
    return outcome.ok ? { ok: true as const, value: sensor } : outcome
  }

  return {
    checkSensor(id, lasts, by) {
      const sensor = sensorOf(id)
      if (sensor === undefined) return noSuchSensor(id)
      const now = clock.now()
      const running = checkHolds(sensor.check, now) ? sensor.check : null
      if (lasts === 0) {
        if (running === null) return { ok: true, value: sensor }
        const { check: _, ...rest } = sensor
        const ended = running.since < now ? { ...rest, check: { ...running, until: now } } : rest
        return saved(
          ended,
          by,
          say('Ended the check of {sensor}: what it reads counts again.', { sensor: sensor.name }),
        )
      }
      if (protectionOf(sensor.type) === 'noThermometer')
        return refused(
          'notCheckable',
          say('{sensor} measures neither temperature nor humidity.', { sensor: sensor.name }),
        )
      const since = running?.since ?? now
      const until = later(now, lasts)
      if (until - since > longestCheck)
        return refused(
          'tooLong',
          say('A check lasts {duration} at most in all: end this one, and begin again.', {
            duration: durationWords(longestCheck),
          }),
        )
      const check = { since, until, by: (running?.by ?? by).slice(0, 60) }
      const text = say(
        '{sensor} is being checked, for {duration} at most: until then it does not speak for its place.',
        { sensor: sensor.name, duration: durationWords(lasts) },
      )
      return saved({ ...sensor, check }, by, text, { until })
    },

    rawReadings(id, quantity, since) {
      if (sensorOf(id) === undefined) return noSuchSensor(id)
      house.catchUp()
      const at = clock.now()
      const from = Math.max(since, at - longestCheck) as typeof at
      const kept = store.readings(id, quantity, from, later(at, toleratedAhead))
      const readings = kept.slice(-mostRaw).map((reading) => ({ at: reading.at, raw: reading.value }))
      return { ok: true, value: { sensor: id, quantity, at, readings } }
    },

    addCalibration(id, found, by) {
      const sensor = sensorOf(id)
      if (sensor === undefined) return noSuchSensor(id)
      const now = clock.now()
      const from = found.from ?? now
      if (from > later(now, toleratedAhead) || from < later(now, -longestCheck))
        return refused(
          'badInstant',
          say(
            'A correction counts from when it was found, in the last {duration}: what was read before keeps what was known then.',
            { duration: durationWords(longestCheck) },
          ),
        )
      const correction = correctionOf(found)
      if (!correction.ok) return refused('badCorrection', correction.sentence)
      const { quantity, method, note } = found
      const calibration: Calibration = {
        ...correction.value,
        references: [...correction.value.references],
        from,
        quantity,
        method,
        by: by.slice(0, 60),
        ...(note === undefined || note === '' ? {} : { note }),
      }
      const calibrations = [...sensor.calibrations, calibration]
      if (calibrations.length > mostCalibrations)
        return refused(
          'tooManyCalibrations',
          say('At most {mostCalibrations} corrections of one sensor are kept.', { mostCalibrations }),
        )
      if (!areDistinct(calibrations))
        return refused('sameInstant', say('There is a correction from that very instant already.'))
      const ends = later(now, puttingBack)
      const check =
        checkHolds(sensor.check, now) && sensor.check.until > ends ? { ...sensor.check, until: ends } : null
      const next = { ...sensor, calibrations, ...(check === null ? {} : { check }) }
      return saved(next, by, `${sensor.name}: ${correctionWords(found, calibration)}`, { quantity })
    },

    removeCalibration(id, quantity, from, by) {
      const sensor = sensorOf(id)
      if (sensor === undefined) return noSuchSensor(id)
      const ofQuantity = sensor.calibrations.filter((one) => one.quantity === quantity)
      const known = ofQuantity.find((one) => one.from === from)
      if (known === undefined) return refused('noSuchCalibration', say('There is no such correction.'))
      if (ofQuantity.some((one) => one.from > from))
        return refused(
          'notNewest',
          say('Only the newest correction can be taken back: later ones rest on it.'),
        )
      const calibrations = sensor.calibrations.filter((one) => one !== known)
      const text = say('{sensor}: took back the correction of its {quantity} that {by} had entered.', {
        sensor: sensor.name,
        quantity: quantityWord(quantity),
        by: known.by,
      })
      return saved({ ...sensor, calibrations }, by, text, { quantity })
    },
  }
}

function correctionWords({ method }: FoundCorrection, { quantity, gain, offset }: Calibration): string {
  const unit = quantity === 'temperature' ? 'K' : '%RH'
  const told = {
    quantity: quantityWord(quantity),
    change: `${offset < 0 ? '−' : '+'}${inReadersDigits(Math.abs(offset).toFixed(2))} ${unit}`,
    gain: gain === 1 ? '' : say(' after a factor of {gain}', { gain: inReadersDigits(gain.toFixed(3)) }),
  }
  switch (method) {
    case 'icePoint':
      return say('checked in ice, its {quantity} is corrected by {change}{gain} from now on.', told)
    case 'twoPoint':
      return say('checked at two points, its {quantity} is corrected by {change}{gain} from now on.', told)
    case 'entered':
      return say('a correction entered, its {quantity} is corrected by {change}{gain} from now on.', told)
    default:
      return method satisfies never
  }
}

const noSuchSensor = (id: SensorId) => refused('noSuchSensor', say('There is no sensor {id}.', { id }))

const refused = <Code extends string>(error: Code, sentence: string) =>
  ({ ok: false, error, sentence }) as const
