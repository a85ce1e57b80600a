import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import type { PlaceAir } from '../../schemas/air.ts'
import type { PlaceNow, ValueNow } from '../../schemas/api.ts'
import { days, hours, instant, later, millis, minutes } from '../../schemas/amounts.ts'
import type { PlaceCost } from '../../schemas/cost.ts'
import type { PlaceKind } from '../../schemas/place.ts'
import type { Phase } from '../../schemas/species.ts'
import { dewPoint } from '../../shared/air/psychrometrics.ts'
import { airNow, roomAir } from '../../web/place/air-now.ts'
import { innerAir } from '../../web/place/airing-inner.ts'
import { costStretch } from '../../web/place/cost-since.ts'
import { airSentences, dayOfAirSentences } from '../../web/words/air-words.ts'
import { airingWords, oxygenWords } from '../../web/words/airing-words.ts'
import { beyondRows, costSentences, stretchWords } from '../../web/words/cost-words.ts'
import { createTell } from '../../web/words/tell.ts'

const zone = 'Europe/Vienna'
const now = instant(Date.parse('2027-01-13T20:00:00+01:00'))
const tell = createTell('en-GB')
const told = { tell, now, zone }
/** The unit stands after a narrow space that does not break. */
const plain = (sentences: readonly string[]): string[] =>
  sentences.map((one) => one.replaceAll('\u202f', ' '))

const value = (sensor: string, quantity: 'temperature' | 'humidity', figure: number, more = {}): ValueNow =>
  ({
    sensor,
    sensorName: `The ${sensor}`,
    quantity,
    value: figure,
    at: now,
    quality: 'good',
    fresh: true,
    lastKnown: false,
    ...more,
  }) as ValueNow
const place = (id: string, kind: PlaceKind, parent: string | null, values: ValueNow[], more = {}): PlaceNow =>
  ({
    id,
    name: `The ${id}`,
    kind,
    parent,
    timeZone: zone,
    animals: [],
    judgedBy: id,
    values,
    ...more,
  }) as never
const spotOf = () => undefined
const said = (of: PlaceNow, places: readonly PlaceNow[]): string[] =>
  plain(airSentences(airNow(of, places, spotOf), roomAir(of, places, spotOf), tell))

const dew = dewPoint(5 as never, 80) ?? Number.NaN
const hygro = [value('hygro', 'temperature', 5), value('hygro', 'humidity', 80)]

describe('the air now, in words', () => {
  test('how far it is from its dew point, what the coldest spot does, and what it could take up', () => {
    const fridge = place('fridge', 'fridge', null, [...hygro, value('wall', 'temperature', 4.9)])
    expect(said(fridge, [fridge])).toEqual([
      'The air is 3.2 °C from its dew point, 1.8 °C.',
      'No spot measured gets wet: the coldest, The wall at 4.9 °C, is 3.1 °C above that point.',
      'Its vapour-pressure deficit is 0.17 kPa: so much more water it could take up.',
    ])
  })

  test.each([
    [dew, 'Water condenses on The wall, the coldest spot measured at 1.8 °C,'],
    [dew + 0.2, 'The coldest wall may get wet: The wall,'],
    [dew + 1.5, 'No spot measured gets wet:'],
    [-0.5, 'Frost forms on The wall,'],
  ])('a wall at %f °C: %s', (cold, words) => {
    const fridge = place('fridge', 'fridge', null, [...hygro, value('wall', 'temperature', cold)])
    expect(said(fridge, [fridge])[1]).toContain(words)
  })

  test('below 0 °C it is the frost point (WMO-No. 8)', () => {
    const frame = place('frame', 'frame', null, [
      value('hygro', 'temperature', -1),
      value('hygro', 'humidity', 60),
    ])
    expect(said(frame, [frame])[0]).toContain('frost point')
  })

  test('the coldest is sought in the fridge and in its boxes, not in another fridge, and never in what is stale', () => {
    const other = place('other', 'fridge', null, [value('far', 'temperature', -9)])
    const fridge = place('fridge', 'fridge', null, hygro)
    const box = place('box', 'box', 'fridge', [value('probe', 'temperature', 4)])
    const low = place('low', 'box', 'fridge', [value('dead', 'temperature', 1, { fresh: false })])
    const places = [other, fridge, box, low]
    expect(said(fridge, places)[1]).toContain('The probe at 4.0 °C')
    expect(said(box, places).slice(0, 2)).toEqual([
      'The air of The fridge is 3.2 °C from its dew point, 1.8 °C.',
      expect.stringContaining('The probe at 4.0 °C'),
    ])
  })

  test('without a second thermometer a colder wall is not known; without humidity nothing is said; old is old', () => {
    const fridge = place('fridge', 'fridge', null, hygro)
    expect(said(fridge, [fridge])[1]).toBe(
      'No second thermometer shares this air: whether a colder wall gets wet is not known.',
    )
    const dry = place('dry', 'fridge', null, [value('probe', 'temperature', 5)])
    expect([airNow(dry, [dry], spotOf).kind, said(dry, [dry])]).toEqual(['none', []])
    const stale = place('stale', 'fridge', null, [
      hygro[0] as ValueNow,
      value('hygro', 'humidity', 80, { fresh: false }),
    ])
    expect(said(stale, [stale])).toEqual(['Its humidity is too old to say anything of the air now.'])
  })

  test('the room’s air wets what is cold inside when the door opens; one that is dry does not', () => {
    const room = (percent: number) =>
      place('larder', 'room', null, [value('room', 'temperature', 20), value('room', 'humidity', percent)])
    const fridge = place('fridge', 'fridge', 'larder', hygro)
    expect(said(fridge, [room(50), fridge]).at(-1)).toBe(
      'When the door opens, the air of The larder (dew point 9.3 °C) wets what is as cold as The hygro at 5.0 °C: open it shortly.',
    )
    expect(said(fridge, [room(25), fridge]).at(-1)).toBe(
      'When the door opens, the air of The larder (frost point −0.6 °C) wets nothing measured in here.',
    )
    const box = place('box', 'box', 'larder', [value('probe', 'temperature', 5)])
    expect(said(box, [room(50), box])).toEqual([
      'The air of The larder (dew point 9.3 °C) wets what is as cold as The probe at 5.0 °C.',
    ])
  })
})

describe('the last day of air, in words', () => {
  const day: PlaceAir = {
    place: 'fridge' as never,
    from: later(now, -days(1)),
    to: now,
    humidity: 'hygro' as never,
    temperature: 'hygro' as never,
    known: hours(24),
    unknown: millis(0),
    fromHours: millis(0),
    meanDeficit: 0.1744,
    drying: 4.186,
    wetting: null,
  }
  const wetting = (wet: number, near: number) => ({
    ...day,
    wetting: { wet: minutes(wet), near: minutes(near), dry: hours(5), unknown: millis(0) },
  })
  const first =
    'In the last 24 h the deficit was 0.17 kPa on average, 4.19 kPa·h in all, like air of 80 %RH at 5.0 °C.'

  test('how it dried, told in air that people know', () => {
    expect(plain(dayOfAirSentences(day, tell))).toEqual([first])
    expect(plain(dayOfAirSentences({ ...day, unknown: hours(3) }, tell))).toEqual([
      `${first} Of 3 h nothing is known.`,
    ])
    expect(plain(dayOfAirSentences({ ...day, meanDeficit: 1.6 }, tell))[0]).not.toContain('like air of')
  })

  test('how long the coldest spot was wet or near it', () => {
    const second = (one: PlaceAir): string | undefined => dayOfAirSentences(one, tell)[1]
    expect(second(wetting(0, 0))).toBe('In the last 24 h no spot measured came near the dew point.')
    expect(second(wetting(80, 0))).toContain('at or below the dew point for 1 h 20 min.')
    expect(second(wetting(0, 5))).toContain('never at the dew point, but for 5 min too near it to tell.')
    expect(second(wetting(80, 5))).toContain('for 1 h 20 min, and for 5 min too near it to tell.')
  })

  test('nothing known is said, and nothing is said where nothing measures humidity', () => {
    expect(dayOfAirSentences({ ...day, meanDeficit: null }, tell)).toEqual([
      'In the last 24 h nothing is known of the air.',
    ])
    expect(dayOfAirSentences({ ...day, humidity: null, meanDeficit: null }, tell)).toEqual([])
  })
})

describe('S4: airing, in words', () => {
  const knownFrom = later(now, -days(14))
  const shut = { isOpen: false, knownFrom }
  const airing = (ago: number) => airingWords({ at: later(now, -ago), ago: millis(ago) }, shut, told)

  test('with its day and how many days ago; today and yesterday are days enough', () => {
    expect(airing(days(3) + hours(2))).toBe('Last aired on Sun 10 Jan at 18:00, 3 days ago.')
    expect(airing(days(1))).toBe('Last aired yesterday at 20:00.')
    expect(airing(hours(1))).toBe('Last aired today at 19:00.')
  })

  test('open is open, and never seen is told with how far back one has looked', () => {
    expect(airingWords(null, { isOpen: true, knownFrom }, told)).toBe(
      'The door is open: it is being aired now.',
    )
    expect(airingWords(null, shut, told)).toBe(
      'Not aired since Wed 30 Dec, 20:00 at least: no opening was seen.',
    )
  })

  test('the oxygen of the air inside, or which figure is missing', () => {
    const missing = { kind: 'missing', litres: true, celsius: false, masses: ['Bramble', 'Sorrel'] } as const
    expect(oxygenWords(missing, 'Larder fridge', told)).toBe(
      'How soon the air inside is used up is not known. Missing: the litres of free air in Larder fridge; the weights of Bramble and Sorrel.',
    )
    expect(oxygenWords({ ...missing, litres: false, masses: ['Bramble'] }, 'x', told)).toContain(
      'Missing: the weight of Bramble.',
    )
    expect(oxygenWords({ kind: 'nobody' }, 'x', told)).toBeNull()
    expect(oxygenWords({ kind: 'known', days: 12.34, leastDays: 8.1 }, 'x', told)).toContain(
      'in about 12 days (8.1 at the fastest)',
    )
  })

  test('a box with litres of its own is reckoned by itself, else all behind the door share the fridge’s air', () => {
    const at = (id: string, name: string) => ({ animals: [{ id, name }] })
    const fridge = place('fridge', 'fridge', null, hygro)
    const [top, low] = [
      place('top', 'box', 'fridge', [], at('b', 'Bramble')),
      place('low', 'box', 'fridge', [], at('s', 'Sorrel')),
    ]
    const inner = (litres: object) =>
      innerAir(
        top,
        fridge,
        [fridge, top, low],
        {
          places: [
            { id: 'fridge', litres: 90 },
            { id: 'top', ...litres },
          ] as never,
        },
        (animal) => (animal === 'b' ? 812 : null),
      )
    expect(inner({})).toEqual({
      name: 'The fridge',
      air: {
        litres: 90,
        celsius: 5,
        breathers: [
          { name: 'Bramble', kilograms: 0.812 },
          { name: 'Sorrel', kilograms: null },
        ],
      },
    })
    expect(inner({ litres: 12 })).toMatchObject({
      name: 'The top',
      air: { litres: 12, breathers: [{ name: 'Bramble' }] },
    })
  })
})

describe('which winter is counted', () => {
  const animal = (where: string, plan: readonly [Phase, number][], mode = 'goesDown') => ({
    place: where,
    mode,
    plan: plan.map(([phase, ago]) => ({ phase, from: later(now, -days(ago)) })),
  })
  const stretch = (animals: readonly object[], id = 'fridge') =>
    costStretch(
      { id: id as never, timeZone: zone },
      {
        hemisphere: 'north',
        places: [
          { id: 'fridge', parent: null },
          { id: 'box', parent: 'fridge' },
        ] as never,
        animals: animals as never,
      },
      now + 5,
    )
  const usual: readonly [Phase, number][] = [
    ['fast', 70],
    ['coolDown', 47],
    ['hold', 40],
  ]

  test('since the first of those inside began to cool down; the boxes’ animals are the fridge’s, too', () => {
    const late: readonly [Phase, number][] = [['hold', 30]]
    expect(stretch([animal('box', usual), animal('fridge', late)])).toEqual({
      by: 'plan',
      from: later(now, -days(47)),
      to: now,
      phase: 'coolDown',
      isOver: false,
    })
    expect(stretch([animal('fridge', usual)], 'box').by).toBe('usual')
  })

  test('until the last is awake again', () => {
    const up: readonly [Phase, number][] = [...usual, ['warmUp', 9], ['awake', 2]]
    expect(stretch([animal('box', up)])).toMatchObject({ to: later(now, -days(2)), isOver: true })
    expect(stretch([animal('box', up), animal('box', usual)])).toMatchObject({ to: now, isOver: false })
  })

  test('nobody planned, staying awake, another season or still to come: the last 30 days', () => {
    const thirty = { by: 'usual', from: later(now, -days(30)), to: now, phase: null, isOver: false }
    expect(stretch([])).toEqual(thirty)
    expect(stretch([animal('box', usual, 'staysAwake')])).toEqual(thirty)
    expect(
      stretch([
        animal('box', [
          ['coolDown', 400],
          ['hold', 390],
          ['awake', 300],
        ]),
      ]),
    ).toEqual(thirty)
    expect(
      stretch([
        animal('box', [
          ['coolDown', -3],
          ['hold', -9],
        ]),
      ]),
    ).toEqual(thirty)
  })

  test('whatever the plans, it ends now at the latest, after it begins, and within a year', () => {
    const phase = fc.constantFrom<Phase>('feedUp', 'fast', 'coolDown', 'hold', 'warmUp', 'awake')
    const plan = fc
      .uniqueArray(fc.tuple(phase, fc.integer({ min: -300, max: 700 })), {
        selector: ([, ago]) => ago,
        maxLength: 8,
      })
      .map((steps) => steps.toSorted((one, other) => other[1] - one[1]))
    fc.assert(
      fc.property(fc.array(plan, { maxLength: 3 }), (plans) => {
        const { from, to } = stretch(plans.map((steps) => animal('box', steps)))
        expect(to).toBeLessThanOrEqual(now)
        expect(from).toBeLessThan(to)
        expect(to - from).toBeLessThanOrEqual(days(366))
      }),
    )
  })

  test('in words', () => {
    expect(stretchWords(stretch([animal('box', usual)]), told)).toBe(
      'Since the beginning of cooling down, on Fri 27 Nov at 20:00.',
    )
    expect(
      stretchWords(
        stretch([
          animal('box', [
            ['hold', 40],
            ['awake', 1],
          ]),
        ]),
        told,
      ),
    ).toBe(
      'From the beginning of the hold, on Fri 4 Dec at 20:00, until they were awake, yesterday at 20:00.',
    )
    expect(stretchWords(stretch([]), told)).toContain('The last 30 days')
  })
})

describe('what it cost, in words', () => {
  const none = { time: millis(0), degreeHours: { least: 0, most: 0 } }
  const cost: PlaceCost = {
    place: 'fridge' as never,
    sensor: 'probe' as never,
    from: later(now, -days(61)),
    to: now,
    known: days(61),
    unknown: millis(0),
    fromHours: millis(0),
    mean: 4.1,
    meanKinetic: { least: 4.31, most: 4.33 },
    beyond: [
      { limit: 'lowCritical', ...none },
      { limit: 'low', time: hours(9), degreeHours: { least: 6.41, most: 7.7 } },
      { limit: 'high', time: minutes(30), degreeHours: { least: 12, most: 12.2 } },
      { limit: 'highCritical', time: minutes(2), degreeHours: { least: 0.1, most: 0.1 } },
    ],
    metabolicDays: { days: 55.2, least: 48.4, most: 59.6, reference: 5, beyond: millis(0) },
    min: { at: later(now, -days(2)), value: 2.9 },
    max: { at: later(now, -days(50)), value: 7.1 },
    nights: [],
  }
  const words = (
    more: Partial<PlaceCost> = {},
    guidance: 'strict' | 'lenient' = 'lenient',
    isColdHere = true,
  ) => plain(costSentences({ ...cost, ...more }, { guidance, isColdHere }, told))

  test('metabolic days in their band, by the guidance; mean kinetic temperature; coldest and warmest', () => {
    expect(words()).toEqual([
      '61 days here cost an animal about as much as 55 days at 5.0 °C (48 to 60).',
      'Mean 4.1 °C; weighed by what warmth does, 4.3 °C (mean kinetic temperature).',
      'Coldest 2.9 °C on Mon 11 Jan at 20:00, warmest 7.1 °C on Tue 24 Nov at 20:00.',
    ])
    expect(words({}, 'strict')[0]).toContain('(48 to 60). Strict guidance counts 60.')
  })

  test('of few days a tenth is told, and one day is one day', () => {
    const metabolicDays = { ...cost.metabolicDays, days: 1.04, least: 0.9, most: 1.2 }
    expect(words({ known: days(1), metabolicDays })[0]).toBe(
      '1 day here cost an animal about as much as 1 day at 5.0 °C (0.9 to 1.2).',
    )
  })

  test('where animals are awake no metabolic days are told', () => {
    expect(words({}, 'strict', false)[0]).toMatch(/^Mean/)
  })

  test('time unknown, time of hourly figures and time beyond where Q10 holds are each told', () => {
    const metabolicDays = { ...cost.metabolicDays, beyond: hours(2) }
    const all = words({ unknown: hours(7), fromHours: days(3), metabolicDays }).join(' ')
    expect(all).toContain('That reckoning holds from 0.0 to 15.0 °C; 2 h beyond count as its ends.')
    expect(all).toContain('For 7 h no temperature is known: they are in none of these figures.')
    expect(all).toContain(
      'Of 3 d only hourly figures are kept: where two figures stand, the truth lies between.',
    )
    expect(words({ meanKinetic: { least: 4.2, most: 4.5 } })[1]).toContain('4.2 to 4.5 °C')
  })

  test('never heard, and nothing known, are said', () => {
    expect(words({ sensor: null })).toEqual(['No thermometer was ever heard here.'])
    expect(words({ known: millis(0), mean: null })).toEqual(['Nothing is known of these days.'])
  })

  test('limits that were passed, the gravest first, with bounds where there are two figures', () => {
    expect(
      beyondRows(cost, tell).map(({ limit, time, degreeHours }) => [limit, time, ...plain([degreeHours])]),
    ).toEqual([
      ['highCritical', '2 min', '0.1 K·h'],
      ['low', '9 h', '6.4 to 7.7 K·h'],
      ['high', '30 min', '12 K·h'],
    ])
  })
})
