import type { Alarm } from '../../schemas/alarm.ts'
import type { Connection, Tonight } from '../../schemas/api.ts'
import type { DiaryLine } from '../../schemas/diary.ts'
import type { Household } from '../../schemas/household.ts'
import type { AlarmId, PersonId } from '../../schemas/ids.ts'
import type { JournalEntry } from '../../schemas/journal.ts'
import type { Role } from '../../schemas/person.ts'
import type { SpeciesProfile } from '../../schemas/species.ts'
import { later } from '../../schemas/amounts.ts'
import type { AlarmEvent } from '../../shared/judging/alarm.ts'
import type { ProfileOf } from '../../shared/judging/layout.ts'
import { placesNow } from '../../shared/judging/place-now.ts'
import { longestShelving, longestTending } from '../../shared/judging/policy.ts'
import { answer } from '../../shared/telling/answer.ts'
import { durationWords } from '../../shared/telling/words.ts'
import { nightOf } from '../../shared/time/night.ts'
import type { AlarmRefusal } from '../ports/alarms.ts'
import type { Clock } from '../ports/clock.ts'
import type { Desk } from '../ports/desk.ts'
import type { EditRefusal } from '../ports/household.ts'
import type { Outcome } from '../ports/outcome.ts'
import type { Seal } from '../ports/seal.ts'
import type { Store } from '../ports/store.ts'
import type { ImportDesk } from '../ports/imports.ts'
import type { DiaryStore } from '../ports/season.ts'
import { makeAnswers } from './answers.ts'
import { makeChecks } from './checks.ts'
import { drawCurves } from './curves.ts'
import { drawAir } from './place-air.ts'
import { measureLag } from './place-lag.ts'
import { objectionTo, withOne, without } from './edits.ts'
import type { House } from './house.ts'
import { nameIn, namesIn } from './names.ts'
import { notStored } from './not-stored.ts'
import type { Sources } from './sources.ts'
import type { openTellingDesk } from './telling-desk.ts'
import { openDay } from './day.ts'
import { openDiary } from './diary.ts'
import { openProfiles } from './own-profiles.ts'
import { savesAnimal } from './save-animal.ts'
import { openSeason } from './season.ts'
import type { SaveHousehold } from './season-world.ts'
import { makeJudges } from './standing.ts'
import { openCsv } from './report-csv.ts'
import { openReports } from './reports.ts'
import { openTrials } from './trials.ts'
import { openWhatIf } from './what-if.ts'
import { guidanceWord } from '../../shared/words/choice-words.ts'
import { say } from '../../shared/words/say.ts'

/** Lines of the journal shown with the alarms. */
const journalShown = 50

/** What people may ask and do. */
export function openDesk(world: {
  readonly house: House
  readonly store: Store
  readonly diary: DiaryStore
  readonly clock: Clock
  readonly sources: Sources
  readonly catalogue: readonly SpeciesProfile[]
  readonly profileOf: ProfileOf
  readonly connection: () => Connection
  readonly practice: Pick<Desk, 'practice' | 'switchPractice'>
  readonly keeping: Pick<Desk, 'keeping' | 'backUpNow'>
  readonly metrics: Desk['metrics']
  readonly telling: ReturnType<typeof openTellingDesk>
  readonly outlooks: Pick<Desk, 'outlook'>
  readonly imports: ImportDesk
  readonly seal: Seal
  readonly roleOf: (person: PersonId) => Role | null
  readonly onSensors: (household: Household) => void
  /** Between the parts of long work: whatever else is due has its turn. */
  readonly pause: () => Promise<void>
}): Desk {
  const { house, store, clock, sources, catalogue, profileOf } = world
  const household = () => house.state().layout.household

  function tonight(): Tonight {
    const now = clock.now()
    const state = house.state()
    const places = placesNow(state, now)
    const alarms = standingAlarms()
    const { timeZone, night, name } = household()
    return {
      at: now,
      ...answer(places, alarms, namesIn(household())),
      household: name,
      practice: world.practice.practice().running,
      night: nightOf(now, timeZone, night),
      broker: world.connection().broker,
      places,
      alarms,
    }
  }

  const standingAlarms = (): Alarm[] =>
    [...house.state().alarms.values()].filter((alarm) => alarm.state.name !== 'normal')

  function act(id: AlarmId, event: Extract<AlarmEvent, { by: string }>): Outcome<Alarm, AlarmRefusal> {
    const known = house.state().alarms.get(id)
    if (known === undefined)
      return { ok: false, error: 'noSuchAlarm', sentence: say('There is no such alarm.') }
    house.take({ kind: 'person', alarm: id, act: event }, 'soon')
    return { ok: true, value: house.state().alarms.get(id) ?? known }
  }

  function save(
    next: Household,
    by: string,
    text: string,
    kind: JournalEntry['kind'] = 'changed',
    about: Partial<JournalEntry> = {},
    diary: readonly DiaryLine[] = [],
  ) {
    const objection = objectionTo(next, profileOf, clock.now(), household())
    // An animal that must be woken is woken: that its box suits it no longer is an alarm, not an obstacle
    const isObstacle = objection?.error !== 'bandsConflict' || kind !== 'warmingBegan'
    if (objection !== null && isObstacle) return { ok: false as const, ...objection }
    const entry = { at: clock.now(), kind, by, text: text.slice(0, 500), ...about }
    if (!house.rehouse(next, entry, diary)) return notStored
    world.onSensors(next)
    return { ok: true as const }
  }

  function saveOne<Value>(
    next: Household,
    value: Value,
    by: string,
    text: string,
  ): Outcome<Value, EditRefusal> {
    const saved = save(next, by, text)
    return saved.ok ? { ok: true, value } : saved
  }

  const saveActs: SaveHousehold = save
  const season = {
    house,
    store,
    diary: world.diary,
    clock,
    catalogue: profileOf,
    save: saveActs,
    hasRung: () => world.telling.hasRung(),
  }

  const judges = makeJudges(season)
  const winters = openSeason(season, { judges, cultures: () => day.cultures() })
  const day = openDay(season, winters.standing)

  const curves = drawCurves({ house, store, clock, pause: world.pause })

  const desk: Omit<Desk, 'answers'> = {
    ...openDiary({ household, diary: world.diary, clock, note: house.note, publish: house.publish }),
    ...winters,
    ...day,
    ...openProfiles({ ...season, household }),
    ...openTrials({
      house,
      store,
      clock,
      catalogue,
      pause: world.pause,
      save: (next, by, text, place) => save(next, by, text, 'changed', { place }),
    }),
    ...curves,
    ...openReports({ house, store, diary: world.diary, clock, catalogue: profileOf, pause: world.pause }),
    ...openCsv({ house, store, winter: curves.winter }),
    ...drawAir({ house, store, clock, pause: world.pause }),
    ...measureLag({ house, store, clock, pause: world.pause }),
    ...openWhatIf({ house, store, diary: world.diary, clock, profileOf, pause: world.pause }),
    outlook: (place) => world.outlooks.outlook(place),
    imports: world.imports.imports,
    holdTable: world.imports.holdTable,
    lookThrough: world.imports.lookThrough,
    beginImport: world.imports.beginImport,
    undoImport: world.imports.undoImport,
    ...world.practice,
    ...makeChecks({
      ...world,
      household,
      save: (next, by, text, about) => save(next, by, text, 'changed', about),
    }),
    keeping: world.keeping.keeping,
    backUpNow: world.keeping.backUpNow,
    metrics: world.metrics,
    ...world.telling,
    tonight,
    household,
    species: () => [...catalogue, ...household().profiles],
    connection: world.connection,
    sources: () => sources.list(),
    alarms: () => ({ standing: standingAlarms(), journal: [...store.journal({ limit: journalShown })] }),
    journal: (query) => store.journal(query),

    acknowledge(id, occurrence, by) {
      const known = house.state().alarms.get(id)
      if (known !== undefined && known.occurrence !== occurrence)
        return {
          ok: false,
          error: 'earlierOccurrence',
          sentence: say('This alarm has been raised again since; look at it afresh.'),
        }
      return act(id, { kind: 'acknowledge', at: clock.now(), by })
    },
    shelve(id, lasts, reason, by) {
      const known = house.state().alarms.get(id)
      if (known === undefined)
        return { ok: false, error: 'noSuchAlarm', sentence: say('There is no such alarm.') }
      const longest = longestShelving(known)
      if (lasts > longest)
        return {
          ok: false,
          error: 'tooLong',
          sentence: say('This alarm may be shelved for at most {duration}.', {
            duration: durationWords(longest),
          }),
        }
      if (known.state.name === 'outOfService' || known.state.name === 'suppressed')
        return { ok: false, error: 'notNow', sentence: say('It is hidden already; end that first.') }
      const now = clock.now()
      return act(id, { kind: 'shelve', at: now, until: later(now, lasts), by, reason })
    },
    unshelve: (id, by) => act(id, { kind: 'unshelve', at: clock.now(), by }),
    takeOutOfService: (id, reason, by) => act(id, { kind: 'takeOutOfService', at: clock.now(), by, reason }),
    returnToService: (id, by) => act(id, { kind: 'returnToService', at: clock.now(), by }),
    tend(place, lasts, by) {
      if (!house.state().layout.placeIndex.has(place))
        return { ok: false, error: 'noSuchPlace', sentence: say('There is no such place.') }
      if (lasts > longestTending)
        return {
          ok: false,
          error: 'tooLong',
          sentence: say('Tending lasts at most {duration}.', { duration: durationWords(longestTending) }),
        }
      const now = clock.now()
      house.take({ kind: 'tend', place, at: now, until: later(now, lasts), by }, 'soon')
      house.publish({ kind: 'tonight' })
      const here = placesNow(house.state(), now).find((one) => one.id === place)
      if (here === undefined) throw new Error(`Place ${place} vanished while it was tended.`)
      return { ok: true, value: here }
    },

    saveHouse: (house_, by) =>
      saveOne(
        { ...household(), ...house_ },
        house_,
        by,
        say('The house is {house_} now, with {guidance} guidance.', {
          house_: house_.name,
          guidance: guidanceWord[house_.guidance],
        }),
      ),
    savePlace(given, by) {
      // A trial run moves by its own acts alone: a form may have been open since before the plug was pulled.
      const { trial: _, ...others } = given
      const trial = household().places.find((one) => one.id === given.id)?.trial
      const place = trial === undefined ? others : { ...others, trial }
      return saveOne(
        withOne(household(), 'places', place),
        place,
        by,
        say('Saved the place {place}.', { place: place.name }),
      )
    },
    removePlace(id, by) {
      const { places, sensors, animals, loggers } = household()
      const used =
        places.find((one) => one.parent === id)?.name ??
        sensors.find((one) => one.place === id)?.name ??
        loggers?.find((one) => one.place === id)?.name ??
        animals.find((one) => one.place === id)?.name
      if (used !== undefined)
        return {
          ok: false,
          error: 'inUse',
          sentence: say('{used} is still in it; move that first.', { used }),
        }
      return saveOne(
        without(household(), 'places', id),
        null,
        by,
        say('Removed the place {nameIn}.', { nameIn: nameIn(places, id) }),
      )
    },
    saveSensor(given, by) {
      const before = household().sensors.find((one) => one.id === given.id)
      const isNew = before === undefined
      // Whoever sends none does not mean that none was ever made: old readings would change.
      const { check: _, ...asGiven } = given
      const sensor = {
        ...asGiven,
        calibrations: given.calibrations.length > 0 ? given.calibrations : (before?.calibrations ?? []),
        // A form that was opened before would begin, or end, a check.
        ...(before?.check === undefined ? {} : { check: before.check }),
      }
      const about = { sensor: sensor.id, ...(sensor.place === null ? {} : { place: sensor.place }) }
      const saved = isNew
        ? save(
            withOne(household(), 'sensors', sensor),
            by,
            say('It listens to {topic}.', { topic: sensor.topic }),
            'claimed',
            about,
          )
        : save(
            withOne(household(), 'sensors', sensor),
            by,
            say('Saved the sensor {sensor}.', { sensor: sensor.name }),
          )
      return saved.ok ? { ok: true, value: sensor } : saved
    },
    removeSensor: (id, by) =>
      saveOne(
        without(household(), 'sensors', id),
        null,
        by,
        say('Removed the sensor {nameIn}; its readings are kept.', {
          nameIn: nameIn(household().sensors, id),
        }),
      ),
    ...savesAnimal(season, judges),
    removeAnimal: (id, by) =>
      saveOne(
        without(household(), 'animals', id),
        null,
        by,
        say('Removed {nameIn}.', { nameIn: nameIn(household().animals, id) }),
      ),

    note: (entry) => house.note(entry),
    subscribe: (listener) => house.subscribe(listener),
  }
  return { ...desk, answers: makeAnswers({ ...world, acts: desk }) }
}
