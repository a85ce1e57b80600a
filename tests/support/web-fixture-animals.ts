import type { MassNow } from '../../schemas/condition.ts'
import { DiaryEntry, DiaryLine } from '../../schemas/diary.ts'
import type { Household } from '../../schemas/household.ts'
import type { Person } from '../../schemas/person.ts'
import { AnimalStanding, DayList, type Reminder, SeasonNow, type WakeNow } from '../../schemas/season.ts'
import type { LiveEvent } from '../../schemas/api.ts'
import { days, hours, later } from '../../schemas/amounts.ts'
import type { Instant } from '../../schemas/units.ts'
import { phaseAt } from '../../shared/judging/phase-at.ts'
import { sources } from '../../shared/species/sources.ts'
import { localDate } from '../../shared/time/wall.ts'
import { invalid, nothing, ok, problem, type Reply } from './web-fixture-reply.ts'
import type { Scene } from './web-fixture-scene.ts'

/** Invented diaries, kept in memory: what is noted stands, and the masses follow it. Every judgement is made up. */
export function fixtureAnimals(world: {
  readonly scene: Scene
  readonly now: () => Instant
  readonly me: () => Person
  readonly household: () => Household
  readonly send: (event: LiveEvent) => void
}) {
  const { scene, now, me, household, send } = world
  const lines = new Map<string, DiaryLine>(
    household().animals.length === 0 ? [] : inventedDiary(now()).map((line) => [line.id, line]),
  )
  const pictures = new Map<string, Buffer>()
  const of = (animal: string): DiaryLine[] =>
    [...lines.values()].filter((line) => line.animal === animal).sort((a, b) => b.at - a.at)

  const standing = (id: string): AnimalStanding => {
    const animal = household().animals.find((one) => one.id === id)
    const { phase } = animal === undefined ? { phase: 'awake' as const } : phaseAt(animal, now())
    const mass = phase === 'hold' ? massOf(of(id), now()) : null
    return AnimalStanding.parse({
      animal: id,
      phase,
      years: id === 'bramble' ? 7.4 : null,
      condition: conditionOf(id),
      mass,
      gate: scene === 'practice' && id === 'bramble' ? gate : null,
      wake: wakeOf(mass, now()),
      waking: scene === 'practice' && id === 'puddle' ? wakingOf(now()) : [],
      reminders: remindersOf(id),
      doubt:
        id === 'thistle' ? 'The last weigh-in is a tenth of the one before: were the units mixed up?' : null,
    })
  }

  const remindersOf = (id: string): Reminder[] => {
    const animal = household().animals.find((one) => one.id === id)
    if (animal === undefined || phaseAt(animal, now()).phase !== 'hold') return []
    const last = of(id).find((line) => line.note.kind === 'weighed')
    const due = last === undefined ? now() : later(last.at, days(7))
    const today = localDate(now(), household().timeZone)
    const on = localDate(due, household().timeZone)
    return [
      {
        id: `weigh:${id}:${on}`,
        kind: 'weigh',
        animal: animal.id,
        title: `Weigh ${animal.name}`,
        on,
        standing: on < today ? 'late' : on === today ? 'due' : 'coming',
        sentence: 'Each week in hold.',
        source: sources.btk,
        evidence: 'secondHand',
      },
    ]
  }

  const api = (
    method: string,
    parts: readonly string[],
    query: URLSearchParams,
    body: Record<string, unknown>,
  ): Reply | null => {
    const [room = '', id = '', what = ''] = parts
    switch (`${method} ${room}${what === '' ? '' : `/${what}`}`) {
      case 'GET diary': {
        const [animal, kinds, limit] = [query.get('animal'), query.getAll('kind'), query.get('limit')]
        return ok(
          [...lines.values()]
            .filter((line) => animal === null || line.animal === animal)
            .filter((line) => kinds.length === 0 || kinds.includes(line.note.kind))
            .sort((a, b) => b.at - a.at)
            .slice(0, Number(limit ?? Infinity)),
        )
      }
      case 'PUT diary': {
        const entry = DiaryEntry.safeParse(body)
        if (!entry.success) return invalid(entry.error.issues)
        const line = DiaryLine.parse({ ...entry.data, by: me().name, notedAt: now() })
        lines.set(id, line)
        tell(line)
        return ok(line)
      }
      case 'DELETE diary': {
        const line = lines.get(id)
        if (line === undefined) return problem(404, 'noSuchEntry', 'There is no such entry.')
        if (me().role !== 'keeper' && line.by !== me().name)
          return problem(403, 'keeperOnly', 'Only a keeper may do this.')
        lines.delete(id)
        tell(line)
        return nothing
      }
      case 'GET animals/standing':
        return household().animals.some((one) => one.id === id)
          ? ok(standing(id))
          : problem(404, 'noSuchAnimal', 'There is no such animal.')
      case 'GET season': {
        const rows = household().animals.map((animal) => ({
          animal: animal.id,
          species: animal.species,
          place: animal.place,
          phase: phaseAt(animal, now()).phase,
          plan: animal.plan,
          draft: animal.draft,
          marks: [],
          conflicts: [],
          gate: null,
          wake: standing(animal.id).wake,
        }))
        return ok(
          SeasonNow.parse({
            season: '2026/27',
            from: later(now(), -days(120)),
            to: later(now(), days(120)),
            at: now(),
            rows,
            wakeFirst: rows.filter((row) => row.wake.standing === 'now').map((row) => row.animal),
            cultures: [],
          }),
        )
      }
      case 'GET day': {
        const all = household().animals.flatMap((animal) => remindersOf(animal.id))
        return ok(
          DayList.parse({
            date: localDate(now(), household().timeZone),
            due: all.filter((one) => one.standing !== 'coming'),
            coming: all.filter((one) => one.standing === 'coming'),
            done: [],
          }),
        )
      }
    }
    return null
  }

  const tell = (line: DiaryLine): void =>
    send({ kind: 'diary', ...(line.animal !== undefined && { animal: line.animal }) })

  return {
    api,
    lines: (): readonly DiaryLine[] => [...lines.values()],
    /** Pictures come and go as they are. */
    picture(method: string, path: string, bytes: Buffer): { status: number; bytes?: Buffer } | null {
      const id = /^\/api\/pictures\/([a-z0-9-]+)$/.exec(path)?.[1]
      if (id === undefined) return null
      if (method === 'PUT') {
        pictures.set(id, bytes)
        return { status: 204 }
      }
      const found = pictures.get(id)
      return found === undefined ? { status: 404 } : { status: 200, bytes: found }
    },
  }
}

/** Grams on entry, and what a week took. */
const weighed = { bramble: [812, 1.6], sorrel: [640, 8.2], thistle: [455, 0.7] } as const

function inventedDiary(now: Instant): DiaryLine[] {
  const hold = later(now, -days(40))
  const line = (id: string, animal: string, at: Instant, note: object, text?: string): DiaryLine =>
    DiaryLine.parse({
      id,
      animal,
      at,
      note,
      by: 'Robin',
      notedAt: later(at, 60_000),
      ...(text !== undefined && { text }),
    })
  const weighIns = Object.entries(weighed).flatMap(([animal, [grams, loss]]) =>
    [0, 1, 2, 3, 4].map((week) =>
      line(`${animal}-weighed-${week}`, animal, later(hold, days(7 * week) - hours(9)), {
        kind: 'weighed',
        grams: Math.round(grams - loss * week),
      }),
    ),
  )
  return [
    ...weighIns,
    line('bramble-weighed-5', 'bramble', later(now, -days(2)), { kind: 'weighed', grams: 804, box: 'dry' }),
    line('sorrel-weighed-5', 'sorrel', later(now, -days(1)), { kind: 'weighed', grams: 604 }),
    line('amber-weighed-1', 'amber', later(now, -days(30)), { kind: 'weighed', grams: 1450 }),
    line('bramble-cooling', 'bramble', later(now, -days(47)), { kind: 'coolingBegan', steps: [] }),
    line('bramble-checked', 'bramble', later(now, -days(50)), {
      kind: 'checked',
      answers: {
        eyesClear: 'yes',
        noseClear: 'yes',
        mouthClean: 'unsure',
        faecesTested: 'no',
        fedWell: 'yes',
      },
    }),
    line('bramble-measured', 'bramble', later(now, -days(50)), {
      kind: 'measured',
      length: 15.2,
      width: 11.8,
      height: 7.9,
    }),
    line(
      'bramble-looked',
      'bramble',
      later(now, -hours(5)),
      { kind: 'looked' },
      'Lay in the left corner, breathing calm. Bedding damp.',
    ),
    line('bramble-fed', 'bramble', later(now, -days(76)), {
      kind: 'fed',
      food: 'plantain and dandelion',
      eaten: 'some',
    }),
    line('amber-fed', 'amber', later(now, -days(9)), { kind: 'fed', food: 'rat', grams: 62, eaten: 'all' }),
  ]
}

/** What a tortoise may lose, made simple: two points, a straight line. */
function massOf(lines: readonly DiaryLine[], now: Instant): MassNow {
  const masses = lines
    .flatMap(({ at, note }) => (note.kind === 'weighed' ? [{ at, grams: note.grams }] : []))
    .sort((a, b) => a.at - b.at)
  const [entry = null, last = null] = [masses[0], masses.at(-1)]
  if (entry === null || last === null)
    return {
      standing: 'unknown',
      sentence: 'It was never weighed in this hold.',
      entry: null,
      last: null,
      lostPercent: null,
      monthly: null,
      rules: [],
      meetsTotal: null,
      askUrinated: false,
      air: null,
    }
  const lost = ((entry.grams - last.grams) / entry.grams) * 100
  const monthly = (lost / (last.at - entry.at)) * days(30)
  const isMet = lost >= 5
  const until = ((5 - lost) / monthly) * days(30)
  return {
    standing: isMet ? 'wake' : 'well',
    sentence: `Lost ${lost.toFixed(1)} % since it went down, ${monthly.toFixed(1)} % in 30 days.`,
    entry,
    last,
    lostPercent: lost,
    monthly: { percent: monthly, low: monthly * 0.8, high: monthly * 1.25 },
    rules: [
      {
        rule: 'monthly',
        limitPercent: 1,
        verdict: monthly > 1 ? 'wake' : 'well',
        sentence: `${monthly.toFixed(1)} % in 30 days; at most 1 %.`,
        source: sources.rvc,
        evidence: 'secondHand',
      },
      {
        rule: 'total',
        limitPercent: 5,
        verdict: isMet ? 'wake' : 'well',
        sentence: `${lost.toFixed(1)} % in all; 5 % ends the hold.`,
        source: sources.bva,
        evidence: 'secondHand',
      },
    ],
    meetsTotal:
      isMet || monthly <= 0
        ? null
        : {
            soonest: later(last.at, Math.round(until * 0.8)),
            likely: later(last.at, Math.round(until)),
            latest: later(last.at, Math.round(until * 1.4)),
          },
    askUrinated: false,
    air: now > entry.at ? 'The air of its box was damp: 0.12 kPa short of saturation on average.' : null,
  }
}

function wakeOf(mass: MassNow | null, now: Instant): WakeNow {
  if (mass?.standing !== 'wake') return { standing: 'no', reasons: [] }
  return {
    standing: 'now',
    reasons: [
      {
        reason: 'mass',
        at: now,
        isNow: true,
        sentence: `It has lost ${(mass.lostPercent ?? 0).toFixed(1)} % of its mass; 5 % ends the hold.`,
        source: sources.bva,
        evidence: 'secondHand',
      },
    ],
  }
}

function conditionOf(id: string): AnimalStanding['condition'] {
  const unknown = {
    verdict: 'unknown',
    sentence: 'Weigh and measure it first.',
    findings: [],
    trend: null,
  } as const
  if (id !== 'bramble') return { ...unknown, findings: [] }
  return {
    verdict: 'watch',
    sentence: 'One rule says well, one says look closer.',
    findings: [
      {
        rule: 'jackson',
        isValid: true,
        value: 0.231,
        unit: 'g/cm³',
        verdict: 'pass',
        sentence: 'Inside 0.21 to 0.23 g/cm³ and above.',
        source: sources.tortoiseGroup,
        evidence: 'secondHand',
      },
      {
        rule: 'hailey',
        isValid: true,
        value: -0.041,
        unit: 'log10',
        verdict: 'watch',
        sentence: 'A little light for its length.',
        source: sources.davenport,
        evidence: 'secondHand',
      },
      {
        rule: 'visualFive',
        isValid: false,
        value: null,
        unit: 'of 5',
        verdict: 'unknown',
        sentence: 'No body score was noted.',
        source: sources.keepers,
        evidence: 'commonPractice',
      },
    ],
    trend: null,
  }
}

const gate = {
  isOpen: false,
  items: [
    {
      check: 'weighed',
      standing: 'missing',
      sentence: 'Weigh it: the last weigh-in is 9 days old, at most 7 are asked.',
      source: sources.btk,
      evidence: 'secondHand',
    },
    {
      check: 'health',
      standing: 'against',
      sentence: 'The faeces were not tested for parasites.',
      source: sources.bva,
      evidence: 'read',
    },
    {
      check: 'alarm',
      standing: 'missing',
      sentence: 'No phone was heard to ring yet.',
      source: null,
      evidence: null,
    },
    {
      check: 'profile',
      standing: 'met',
      sentence: 'Its species goes down.',
      source: sources.bva,
      evidence: 'read',
    },
  ],
} as const

function wakingOf(now: Instant): object[] {
  const step = { source: sources.forbes, evidence: 'read', isVet: false }
  return [
    {
      ...step,
      step: 'warm',
      from: later(now, -hours(44)),
      due: later(now, -hours(20)),
      doneAt: later(now, -hours(22)),
      standing: 'done',
      sentence: 'Warm within a day.',
    },
    {
      ...step,
      step: 'drink',
      from: later(now, -hours(20)),
      due: later(now, hours(4)),
      doneAt: null,
      standing: 'waiting',
      sentence: 'Bathe it in lukewarm water until it drinks.',
    },
    {
      ...step,
      step: 'eat',
      from: later(now, -hours(20)),
      due: later(now, -hours(3)),
      doneAt: null,
      standing: 'late',
      isVet: true,
      sentence: 'It eats within 7 days.',
    },
  ]
}
