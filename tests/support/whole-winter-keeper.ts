import type { Animal } from '../../schemas/animal.ts'
import { type DiaryNote, HealthQuestion } from '../../schemas/diary.ts'
import type { Household } from '../../schemas/household.ts'
import type { JournalLine } from '../../schemas/api.ts'
import type { AnimalStanding, Reminder } from '../../schemas/season.ts'
import { journalSentence } from '../../shared/telling/journal-words.ts'
import { localDate } from '../../shared/time/wall.ts'
import type { Names } from '../../shared/telling/alarm-words.ts'
import type { Member, Winter } from './whole-winter-cast.ts'
import type { Answer, Method, Who, WinterHouse } from './whole-winter-house.ts'
import type { WinterLog } from './whole-winter-log.ts'

export interface Scene {
  readonly house: WinterHouse
  readonly winter: Winter
  readonly log: WinterLog
  readonly cast: readonly Member[]
  /** Who looks after the animals today. */
  who: Who
  day: number
  /** The newest line of the journal that was read. */
  readUpTo: number
  /** Those whose waking is not over. */
  readonly woken: Set<string>
}

/** Says what was asked and what came of it; the answer's own sentence where it was refused. */
export async function tries(
  scene: Scene,
  what: string,
  method: Method,
  url: string,
  body?: unknown,
): Promise<Answer> {
  const answer = await scene.house.ask(scene.who, method, url, body)
  if (answer.status < 300) scene.log.say('done', what)
  else scene.log.say('refused', `${what} ${sentenceOf(answer)}`)
  return answer
}

export const sentenceOf = ({ status, body }: Answer): string => {
  const { detail, title } = body as { detail?: string; title?: string }
  return `${status}: ${detail ?? title ?? JSON.stringify(body)}`
}

export const householdOf = (scene: Scene): Promise<Household> =>
  scene.house.must<Household>('keeper', 'GET', '/api/household')

export const memberOf = (scene: Scene, id: string): Member => {
  const member = scene.cast.find(({ animal }) => animal.id === id)
  if (member === undefined) throw new Error(`There is no ${id} in the story.`)
  return member
}

/** What its scale shows on that day of the story. */
export function gramsOn({ grams, scaleStep, losesPercent }: Member, day: number): number {
  const share =
    day <= -45
      ? 1.02 + (day + 45) * 0.001
      : day <= 0
        ? 1 - (0.02 * day) / 45
        : 1 - (losesPercent * day) / 3000
  const steps = Math.round((grams * share) / scaleStep)
  return Number((steps * scaleStep).toFixed(1))
}

/** Writes into the diary of an animal or a place; the same entry has the same id. */
export async function notes(
  scene: Scene,
  about: { animal?: string; place?: string },
  note: DiaryNote,
  text?: string,
) {
  const at = scene.house.clock.now()
  const id = `${note.kind}-${about.animal ?? about.place}-${localDate(at, scene.winter.zone)}`.toLowerCase()
  await scene.house.must(scene.who, 'PUT', `/api/diary/${id}`, {
    id,
    at,
    ...about,
    note,
    ...(text && { text }),
  })
}

async function weighs(scene: Scene, id: string, more: { box?: 'dry' | 'wet' } = {}): Promise<void> {
  const member = memberOf(scene, id)
  const grams = gramsOn(member, scene.day)
  await notes(scene, { animal: id }, { kind: 'weighed', grams, scaleStep: member.scaleStep, ...more })
  const { mass } = await standingOf(scene, id)
  scene.log.say('done', `Weighed ${member.animal.name}: ${grams} g.`)
  if (mass !== null)
    scene.log.say(
      'judged',
      `${member.animal.name}: ${mass.sentence}${mass.air === null ? '' : ` ${mass.air}`}`,
    )
  if (mass !== null && mass.meetsTotal !== null && mass.standing !== 'well') {
    const on = (at: number | null) => (at === null ? 'never' : localDate(at as never, scene.winter.zone))
    const { soonest, likely, latest } = mass.meetsTotal
    scene.log.say(
      'judged',
      `${member.animal.name}: the total is met on ${on(likely)}, between ${on(soonest)} and ${on(latest)}.`,
    )
  }
}

export const standingOf = (scene: Scene, id: string): Promise<AnimalStanding> =>
  scene.house.must<AnimalStanding>('keeper', 'GET', `/api/animals/${id}/standing`)

/** Whether it may be there. */
async function moves(scene: Scene, id: string, to: string): Promise<boolean> {
  const { animals, places } = await householdOf(scene)
  const animal = animals.find((one) => one.id === id) as Animal
  const answer = await tries(
    scene,
    `Move ${animal.name} into ${places.find((one) => one.id === to)?.name ?? to}.`,
    'PUT',
    `/api/animals/${id}`,
    { ...animal, place: to },
  )
  return answer.status < 300
}

/** Wakes it, then carries it home; the other way round where its box does not suit it awake. */
async function wakes(scene: Scene, id: string, why: string): Promise<void> {
  const { animal } = memberOf(scene, id)
  const home = id === 'maize' ? 'corn-tank' : (animal.place ?? '')
  const said = `Begin warming ${animal.name}: ${why}`
  const begun = await tries(scene, said, 'POST', `/api/animals/${id}/warming`, { why })
  await moves(scene, id, home)
  if (begun.status >= 300) await tries(scene, said, 'POST', `/api/animals/${id}/warming`, { why })
  scene.woken.add(id)
}

const allWell = Object.fromEntries(HealthQuestion.options.map((question) => [question, 'yes'] as const))

/** Does what a reminder asks for. */
export async function does(scene: Scene, reminder: Reminder): Promise<void> {
  const { kind, title } = reminder
  const id = reminder.animal ?? ''
  const animal = { animal: id }
  const noted = async (about: { animal?: string; place?: string }, note: DiaryNote, said: string) => {
    await notes(scene, about, note)
    scene.log.say('done', said)
  }
  const name = reminder.animal === undefined ? '' : memberOf(scene, id).animal.name
  switch (kind) {
    case 'weigh':
    case 'hold':
      return weighs(scene, id)
    case 'measure':
      return noted(animal, { kind: 'measured', length: memberOf(scene, id).length }, `Measured ${name}.`)
    case 'look':
      return noted(animal, { kind: 'looked' }, `Looked at ${name}.`)
    case 'air':
      return noted({ place: reminder.place ?? '' }, { kind: 'aired' }, `${title}: done.`)
    case 'bathe':
    case 'drink':
      return noted(animal, { kind: 'bathed', drank: true }, `Bathed ${name}; it drank.`)
    case 'faecesTest':
      return noted(
        animal,
        { kind: 'checked', answers: { faecesTested: 'yes' } },
        `Had the faeces of ${name} tested: clear.`,
      )
    case 'healthCheck':
      await noted(
        animal,
        { kind: 'scored', scale: 'visualFive', score: 3 },
        `Scored ${name} by eye and touch: 3 of 5.`,
      )
      return noted(
        animal,
        { kind: 'checked', answers: allWell },
        `Looked ${name} over and answered the health list: all well.`,
      )
    case 'lastMeal':
      return noted(animal, { kind: 'fed', eaten: 'all' }, `Fed ${name} for the last time.`)
    case 'beginCooling':
      return void (await cools(scene, id))
    case 'beginWarming':
      return wakes(scene, id, 'The hold is over.')
    case 'wakeNow':
      return wakes(scene, id, reminder.sentence.slice(0, 300))
    case 'urates':
      return noted(
        animal,
        { kind: 'passed', faeces: false, urates: true, urine: true },
        `${name} passed urine and urates.`,
      )
    case 'firstMeal':
      return noted(animal, { kind: 'fed', eaten: 'some' }, `${name} ate a first small meal.`)
    case 'vet':
      await notes(scene, animal, { kind: 'vet', clears: true }, 'Nothing found; bathe it daily and wait.')
      return scene.log.say('done', `A reptile vet saw ${name}.`)
    case 'order':
    case 'count':
      throw new Error(`Nobody in the story keeps live food: ${title}.`)
    default:
      return kind satisfies never
  }
}

/** Into its box, then through the gate; where that is shut, with the story's reason or not at all. */
export async function cools(scene: Scene, id: string, anyway?: string): Promise<Answer> {
  const { animal, winterBox } = memberOf(scene, id)
  const { animals } = await householdOf(scene)
  const isThere =
    animals.find((one) => one.id === id)?.place === winterBox || (await moves(scene, id, winterBox ?? ''))
  const said =
    anyway === undefined ? `Begin cooling ${animal.name}.` : `Begin cooling ${animal.name} anyway: ${anyway}`
  const body = anyway === undefined ? {} : { anyway }
  const begun = await tries(scene, said, 'POST', `/api/animals/${id}/cooling`, body)
  if (!isThere && begun.status < 300) await moves(scene, id, winterBox ?? '')
  return begun
}

/** What the journal says of the winter since it was read last, oldest first. */
export async function readsJournal(scene: Scene): Promise<void> {
  const household = await householdOf(scene)
  const name = (list: readonly { id: string; name: string }[]) => (id: string) =>
    list.find((one) => one.id === id)?.name ?? id
  const names: Names = {
    place: name(household.places),
    sensor: name(household.sensors),
    contact: name(household.contacts),
  }
  const lines = await scene.house.must<readonly JournalLine[]>('keeper', 'GET', '/api/journal?limit=100')
  for (const line of lines.toReversed())
    if (line.id > scene.readUpTo && toldKinds.has(line.kind))
      scene.log.say('journal', journalSentence(line, names))
  scene.readUpTo = Math.max(scene.readUpTo, ...lines.map(({ id }) => id))
}

/** The others are what the log tells otherwise, or no part of a winter. */
const toldKinds: ReadonlySet<string> = new Set([
  'raised',
  'returned',
  'acknowledged',
  'doorOpened',
  'notTold',
  'noted',
  'rang',
  'coolingBegan',
  'warmingBegan',
])
