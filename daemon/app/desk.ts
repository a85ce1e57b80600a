import type { Alarm } from '../../schemas/alarm.ts'
import type { Connection, Tonight } from '../../schemas/api.ts'
import type { Household } from '../../schemas/household.ts'
import type { PersonId } from '../../schemas/ids.ts'
import type { Role } from '../../schemas/person.ts'
import type { SpeciesProfile } from '../../schemas/species.ts'
import type { ProfileOf } from '../../shared/judging/layout.ts'
import { placesNow } from '../../shared/judging/place-now.ts'
import { answer } from '../../shared/telling/answer.ts'
import { nightOf } from '../../shared/time/night.ts'
import type { Clock } from '../ports/clock.ts'
import type { Desk } from '../ports/desk.ts'
import type { Seal } from '../ports/seal.ts'
import type { Store } from '../ports/store.ts'
import type { ImportDesk } from '../ports/imports.ts'
import type { DiaryStore } from '../ports/season.ts'
import { alarmActs } from './alarm-acts.ts'
import { makeAnswers } from './answers.ts'
import { makeChecks } from './checks.ts'
import { drawCurves } from './curves.ts'
import { drawAir } from './place-air.ts'
import { measureLag } from './place-lag.ts'
import { houseEdits } from './house-edits.ts'
import type { House } from './house.ts'
import { namesIn } from './names.ts'
import type { Sources } from './sources.ts'
import type { openTellingDesk } from './telling-desk.ts'
import { openDay } from './day.ts'
import { openDiary } from './diary.ts'
import { openProfiles } from './own-profiles.ts'
import { savesAnimal } from './save-animal.ts'
import { savesHousehold } from './save-household.ts'
import { openSeason } from './season.ts'
import { makeJudges } from './standing.ts'
import { openCsv } from './report-csv.ts'
import { openReports } from './reports.ts'
import { openTrials } from './trials.ts'
import { openWhatIf } from './what-if.ts'

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

  const save = savesHousehold({ house, clock, profileOf, onSensors: world.onSensors })
  const season = {
    house,
    store,
    diary: world.diary,
    clock,
    catalogue: profileOf,
    save,
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

    ...alarmActs({ house, clock }),
    ...houseEdits({ household, save }),
    ...savesAnimal(season, judges),
    note: (entry) => house.note(entry),
    subscribe: (listener) => house.subscribe(listener),
  }
  return { ...desk, answers: makeAnswers({ ...world, acts: desk }) }
}
