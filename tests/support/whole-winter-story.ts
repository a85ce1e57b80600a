import type { PlanWish } from '../../schemas/animal.ts'
import type { DayList, PlanProposal, Reminder, SeasonNow } from '../../schemas/season.ts'
import { phaseWord } from '../../shared/telling/words.ts'
import { answersAlarms, markWord, readySteps, wishes } from './whole-winter-acts.ts'
import { bandFaults } from './whole-winter-bands.ts'
import {
  atWall,
  castOf,
  channelsOf,
  coldNight,
  dateOf,
  firstDay,
  lastDay,
  places,
  sensors,
  trialDays,
  type Winter,
} from './whole-winter-cast.ts'
import { openWholeWinterHouse, type WinterHouse } from './whole-winter-house.ts'
import {
  cools,
  does,
  gramsOn,
  householdOf,
  readsJournal,
  memberOf,
  notes,
  type Scene,
  sentenceOf,
  standingOf,
  tries,
} from './whole-winter-keeper.ts'
import { winterLog } from './whole-winter-log.ts'
import { remindersWatch } from './whole-winter-reminders.ts'

/** What the story shows, to be claimed of by tests. */
export interface Told {
  readonly log: string
  /** The report of one animal in hold. */
  readonly page: string
  /** Where reminders were lost, doubled, out of order, or did not go when the thing was done. */
  readonly reminderFaults: readonly string[]
  /** Where the band of a place was not what its animals' plans give. */
  readonly bandFaults: readonly string[]
  readonly bandsSeen: number
  readonly statuses: ReadonlyMap<string, number>
  readonly wakeFirst: ReadonlyMap<number, readonly string[]>
  readonly projected: {
    readonly soonest: number
    readonly latest: number | null
    readonly wokenDay: number
  } | null
  readonly waking: ReadonlyMap<number, readonly string[]>
  readonly feeds: readonly {
    readonly events: number
    readonly uids: number
    /** Reminders that are not in it. */
    readonly missing: readonly string[]
  }[]
}

/** A week before Bramble is woken, its page goes to a vet. */
const reportedOn = 63

/** Lives one winter. The house stays open for whoever reads its reports. */
export async function liveThrough(
  winter: Winter,
): Promise<{ readonly told: Told; readonly house: WinterHouse; readonly scene: Scene }> {
  const cast = castOf(winter)
  const log = winterLog(
    `The winter of ${winter.season} in the ${winter.name}, ${winter.zone}: twelve animals, day by day.`,
  )
  const house = await openWholeWinterHouse(atWall(winter, firstDay, '07:00'), winter.zone)
  const scene: Scene = {
    house,
    winter,
    log,
    cast,
    who: 'keeper',
    day: firstDay,
    readUpTo: 0,
    woken: new Set(),
  }
  const known = new Set(sensors.map(({ id }) => id as string))
  const channels = () => channelsOf(winter, known)
  const watch = remindersWatch()
  const statuses = new Map<string, number>()
  const wakeFirst = new Map<number, readonly string[]>()
  const waking = new Map<number, readonly string[]>()
  const feeds: { events: number; uids: number; missing: string[] }[] = []
  const faultsOfBands: string[] = []
  let bandsSeen = 0
  let projected: Told['projected'] = null
  let projection: { soonest: number; latest: number | null } | null = null
  let feed = ''
  let page = ''

  const day = (days = 14): Promise<DayList> => house.must<DayList>('keeper', 'GET', `/api/day?days=${days}`)
  const note = (key: string, { status }: { status: number }) => void statuses.set(key, status)

  async function plans(id: string, wish: PlanWish, anyway?: string): Promise<void> {
    const { animal } = memberOf(scene, id)
    const asked = await house.ask('keeper', 'POST', `/api/animals/${id}/proposal`, wish)
    note(`propose ${id} ${scene.day}`, asked)
    if (asked.status !== 200) return log.say('refused', `A winter for ${animal.name}. ${sentenceOf(asked)}`)
    const proposal = asked.body as PlanProposal
    const steps = proposal.steps.map(
      ({ phase, from }) => `${phaseWord[phase]} from ${new Date(from).toISOString().slice(0, 10)}`,
    )
    log.say('asked', `A winter for ${animal.name}: ${steps.join(', ')}.`)
    for (const mark of proposal.marks)
      log.once(
        'asked',
        `${animal.name}, ${new Date(mark.at).toISOString().slice(0, 10)}, ${markWord[mark.kind]}`,
        mark.sentence,
      )
    for (const { weight, sentence } of proposal.conflicts)
      log.say(weight === 'refused' ? 'refused' : 'warned', sentence)
    const kept = await tries(
      scene,
      `Keep the plan of ${animal.name}.`,
      'PUT',
      `/api/animals/${id}/draft${anyway === undefined ? '' : `?anyway=${encodeURIComponent(anyway)}`}`,
      { steps: proposal.steps, wish },
    )
    note(`draft ${id} ${scene.day}`, kept)
  }

  async function goTo(wall: string): Promise<void> {
    await house.goOn(atWall(winter, scene.day, wall), channels)
  }

  const scripted: Readonly<Record<number, () => Promise<void>>> = {
    [firstDay]: async () => {
      await house.must('keeper', 'PUT', '/api/house', {
        name: 'The winter house',
        timeZone: winter.zone,
        night: { from: '20:00', to: '08:00' },
        hemisphere: winter.name,
        guidance: 'strict',
      })
      for (const place of places) await house.must('keeper', 'PUT', `/api/places/${place.id}`, place)
      for (const sensor of sensors) await house.must('keeper', 'PUT', `/api/sensors/${sensor.id}`, sensor)
      for (const { animal } of cast)
        await tries(
          scene,
          `Enter ${animal.name}, hatched ${animal.hatched}, here since ${animal.since}.`,
          'PUT',
          `/api/animals/${animal.id}`,
          animal,
        )
      await house.must('keeper', 'PUT', '/api/contacts/ada', { id: 'ada', name: 'Ada', channels: [] })
      const relay = { id: 'ada-phone', kind: 'relay', label: 'Phone', url: `${house.phone.origin}/ada` }
      await house.must('keeper', 'PUT', '/api/contacts/ada/channels/ada-phone', { channel: relay })
    },
    [firstDay + 1]: async () => {
      const csv = [
        'date,animal,weight (g),note',
        ...[-31, -21, -11, -1].flatMap((before) =>
          cast.map(
            (member) =>
              `${dateOf(winter, firstDay + before)},${member.animal.name},${gramsOn(member, firstDay + before)},from the old notebook`,
          ),
        ),
      ].join('\r\n')
      type Imported = {
        entries: readonly unknown[]
        known: number
        isKept: boolean
        faults: readonly { sentence: string }[]
      }
      const trial = await house.must<Imported>('keeper', 'POST', '/api/diary/import?trial=true', { csv })
      const kept = await house.must<Imported>('keeper', 'POST', '/api/diary/import', { csv })
      const again = await house.must<Imported>('keeper', 'POST', '/api/diary/import', { csv })
      log.say(
        'done',
        `Looked through a table of old weigh-ins: ${trial.entries.length} entries, ${trial.faults.length} faults; kept ${kept.entries.length}; a second time ${again.entries.length} new, ${again.known} known.`,
      )
      const wrong = await house.must<Imported>('keeper', 'POST', '/api/diary/import', {
        csv: 'date,animal,weight\r\n2026-08-01,Bramble,1200',
      })
      for (const { sentence } of wrong.faults) log.say('refused', `A table without units: ${sentence}`)
    },
    [trialDays.from]: async () => {
      note(
        'trial',
        await tries(scene, 'Begin to run the cellar fridge empty.', 'POST', '/api/places/fridge/trial', {
          act: 'begin',
          litres: 10,
        }),
      )
      for (const [id, wish] of wishes(winter)) await plans(id, wish)
    },
    [trialDays.from + 1]: async () => {
      log.say('done', 'Made a tank of its own for Maize.')
      await house.must('keeper', 'PUT', '/api/places/corn-tank', {
        ...places[11],
        id: 'corn-tank',
        name: 'Corn tank',
      })
      const probe = sensors.find(({ id }) => id === 'snake-rack-air')
      await house.must('keeper', 'PUT', '/api/sensors/corn-tank-air', {
        ...probe,
        id: 'corn-tank-air',
        name: 'Corn tank, air',
        place: 'corn-tank',
        topic: 'brumal/in/corn-tank-air',
      })
      known.add('corn-tank-air')
      const { animals } = await householdOf(scene)
      await tries(scene, 'Move Maize into Corn tank.', 'PUT', '/api/animals/maize', {
        ...animals.find(({ id }) => id === 'maize'),
        place: 'corn-tank',
      })
      await plans('maize', { by: 'hold', on: dateOf(winter, 0), weeks: 8 })
    },
    [trialDays.to]: async () =>
      void (await tries(scene, 'End the trial run.', 'POST', '/api/places/fridge/trial', { act: 'end' })),
    [-60]: async () =>
      note(
        'tooEarly',
        await tries(scene, 'Begin cooling Bramble.', 'POST', '/api/animals/bramble/cooling', {}),
      ),
    [-25]: async () => {
      await house.must('keeper', 'POST', '/api/contacts/ada/channels/ada-phone/ring', {})
      await house.must('keeper', 'POST', '/api/contacts/ada/channels/ada-phone/rang', {})
      log.say('done', 'Rang the phone; it was heard.')
      feed = (await house.must<{ address: string }>('keeper', 'POST', '/api/calendar', {})).address
    },
    [-19]: async () => {
      note('maize shut', await cools(scene, 'maize'))
      note(
        'maize anyway',
        await cools(scene, 'maize', 'A friend kept him for four winters in just this way.'),
      )
    },
    [coldNight - 2]: async () => {
      scene.who = 'sitter'
      log.say('done', 'Bo looks after the animals for a week.')
      note(
        'sitter',
        await tries(scene, 'Begin warming Bramble.', 'POST', '/api/animals/bramble/warming', {
          why: 'It is cold.',
        }),
      )
    },
    [coldNight + 5]: async () => {
      scene.who = 'keeper'
      log.say('done', 'Ada is back.')
    },
    50: async () => {
      await notes(scene, { animal: 'saffron' }, { kind: 'sign', signs: ['weakness'] })
      log.say('done', 'Saffron seemed weak.')
    },
    39: () => notes(scene, { animal: 'ribbon' }, { kind: 'active' }),
    41: async () => {
      await notes(scene, { animal: 'ribbon' }, { kind: 'active' })
      log.say('done', 'Ribbon was moving again.')
    },
  }

  /** What the keeper leaves for another day. */
  const leaves = ({ kind, animal }: Reminder): boolean =>
    (kind === 'wakeNow' && (scene.day < 42 || (animal === 'clover' && scene.day < 43))) ||
    (kind === 'urates' && animal === 'bramble' && scene.day < 81) ||
    (kind === 'beginCooling' && animal === 'maize')

  for (let d = firstDay; d <= lastDay; d += 1) {
    scene.day = d
    log.day(dateOf(winter, d))
    await goTo('08:00')
    const morning = await day()
    watch.morning(dateOf(winter, d), morning)
    for (const { standing, title, sentence } of morning.due)
      log.once(standing === 'late' ? 'late' : 'due', title, sentence)
    await goTo('18:00')
    await scripted[d]?.()
    await answersAlarms(scene)
    const evening = await day()
    const done: Reminder[] = []
    for (const reminder of evening.due) {
      if (leaves(reminder)) continue
      await does(scene, reminder)
      done.push(reminder)
    }
    for (const step of await readySteps(scene)) await does(scene, step)
    watch.evening(dateOf(winter, d), done, evening.due.length === 0 ? evening : await day(), leaves)
    if (d >= 30) {
      const season = await house.must<SeasonNow>('keeper', 'GET', '/api/season')
      if (season.wakeFirst.length > 0) wakeFirst.set(d, season.wakeFirst)
    }
    const bands = await bandFaults(scene)
    bandsSeen += bands.seen
    faultsOfBands.push(...bands.faults)
    if (d === coldNight) {
      const { mass } = await standingOf(scene, 'sorrel')
      projection = mass?.meetsTotal ?? null
    }
    if (projection !== null && projected === null) {
      const { phase } = await standingOf(scene, 'sorrel')
      if (phase === 'warmUp')
        projected = { soonest: projection.soonest, latest: projection.latest, wokenDay: d }
    }
    if (d === reportedOn) page = await house.must<string>('keeper', 'GET', '/api/animals/bramble/report.html')
    if (d > 69 && d < 85)
      waking.set(
        d,
        (await standingOf(scene, 'bramble')).waking.map(
          ({ step, standing, isVet }) => `${step} ${standing}${isVet ? ' vet' : ''}`,
        ),
      )
    if (feed !== '' && d % 14 === 0) {
      const { body } = await house.open(new URL(feed).pathname)
      const text = `${body as string}`.replaceAll('\r\n ', '')
      const uids = text.match(/^UID:.*$/gm) ?? []
      const list = await day(120)
      const isIn = ({ title }: Reminder) =>
        text.includes(`SUMMARY:${title}`) || text.includes(`SUMMARY:Late: ${title}`)
      feeds.push({
        events: uids.length,
        uids: new Set(uids).size,
        missing: [...list.due, ...list.coming].filter((one) => !isIn(one)).map(({ id }) => id),
      })
    }
    await readsJournal(scene)
  }
  return {
    told: {
      log: log.text(),
      page,
      reminderFaults: watch.faults(),
      bandFaults: faultsOfBands,
      bandsSeen,
      statuses,
      wakeFirst,
      projected,
      waking,
      feeds,
    },
    house,
    scene,
  }
}
