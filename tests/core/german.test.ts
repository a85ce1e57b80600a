import { readFileSync } from 'node:fs'
import { afterAll, beforeAll, describe, expect, test, vi } from 'vitest'
import type { Alarm } from '../../schemas/alarm.ts'
import type { SeasonReport } from '../../schemas/animal-report.ts'
import { hours, minutes } from '../../schemas/amounts.ts'
import type { AlarmId, AnimalId, ContactId, PlaceId, SensorId } from '../../schemas/ids.ts'
import type { MessageKind } from '../../schemas/outbox.ts'
import type { Instant, Millis } from '../../schemas/units.ts'
import type { MessageWorld } from '../../shared/telling/message-world.ts'

/*
 * What is read at three in the morning, as a whole: a text that is right key by key may still not be a German sentence
 * once it is put together. Common practice, no source.
 */

/** A table of words keeps the language in which it was made: all of it is loaded anew once German is spoken. */
async function loaded() {
  vi.resetModules()
  const { speak } = await import('../../shared/words/say.ts')
  const { readAs } = await import('../../shared/words/reader.ts')
  const file = new URL('../../shared/words/de.json', import.meta.url)
  speak({ language: 'de', catalogue: JSON.parse(readFileSync(file, 'utf8')) as Record<string, string> })
  readAs({ units: 'celsius', hours: 'h23', locale: 'de' })
  const [message, alarmWords, journal, answer, groups, season] = await Promise.all([
    import('../../shared/telling/message.ts'),
    import('../../shared/telling/alarm-words.ts'),
    import('../../shared/telling/journal-words.ts'),
    import('../../shared/telling/answer.ts'),
    import('../../shared/telling/morning-list.ts'),
    import('../../shared/report/season-page.ts'),
  ])
  return { ...message, ...alarmWords, ...journal, ...answer, ...groups, ...season }
}
let german: Awaited<ReturnType<typeof loaded>>

beforeAll(async () => {
  german = await loaded()
}, 60_000)

// the next file of this process speaks English again
afterAll(() => vi.resetModules())

/** 03:12 in Vienna. */
const raisedAt = Date.UTC(2027, 0, 11, 2, 12) as Instant
const now = (raisedAt + minutes(6)) as Instant

const warm: Alarm = {
  id: 'limit:juniper-box:temperature:highCritical' as AlarmId,
  kind: 'limit',
  place: 'juniper-box' as PlaceId,
  sensor: null,
  contact: null,
  quantity: 'temperature',
  limit: 'highCritical',
  priority: 'high',
  occurrence: 1,
  value: 10.4,
  threshold: 10,
  state: { name: 'unacknowledged', since: raisedAt },
}
const silent: Alarm = {
  ...warm,
  id: 'silent:box-probe' as AlarmId,
  kind: 'silent',
  sensor: 'box-probe' as SensorId,
  quantity: null,
  limit: null,
  priority: 'medium',
  value: null,
  threshold: null,
}

const names = { place: () => 'Wacholderkiste', sensor: () => 'Kistenfühler', contact: () => 'Ada' }
const world: MessageWorld = {
  names,
  kindOf: () => 'box',
  animalsIn: () => [{ name: 'Tilda', common: 'Griechische Landschildkröte' }],
  valueNow: () => null,
  untilDanger: () => null,
  units: 'celsius',
  timeZone: 'Europe/Vienna',
  household: 'Lindenhaus',
  linkTo: () => null,
  acknowledgeLinkTo: () => null,
  ringLink: () => null,
  isPractice: false,
}
const saying = (what: MessageKind, alarms: readonly Alarm[], at = now) => ({
  what,
  contact: 'ada' as ContactId,
  alarms,
  at,
})
const caution =
  'Kein tierärztlicher Rat: reptilienkundige Tierärztin oder Tierarzt fragen. Netzstrom und Wasser vertragen sich nicht.'

describe('A6: a message in German is whole sentences for somebody half asleep', () => {
  test('dangerous warmth: what, where, since when, who lies there, what to do first', () => {
    const { title, text } = german.compose(saying('raised', [warm]), { ...world, valueNow: () => 10.6 })
    expect(title).toBe('ALARM: Wacholderkiste 10,4 °C, gefährlich warm')
    expect(text.split('\n')).toEqual([
      'Wacholderkiste ist gefährlich warm mit 10,4 °C (Grenze 10,0 °C).',
      'Jetzt 10,6 °C.',
      'Das ist jetzt gefährlich: hingehen und nachsehen.',
      'Seit 03:12, also seit 6 min.',
      'Dort: Tilda (Griechische Landschildkröte).',
      'Zuerst: Prüfen, ob die Tür zu ist, der Stecker steckt und der Kühlschrank läuft. Flaschen mit kaltem Wasser bremsen die Erwärmung.',
      caution,
    ])
  })

  test('L9: a limit that only the sensor’s uncertainty meets', () => {
    const unsure: Alarm = { ...warm, limit: 'lowCritical', value: 1.5, threshold: 1, guarded: 1.58 }
    const { title, text } = german.compose(saying('raised', [unsure]), world)
    expect(title).toBe('ALARM: Wacholderkiste 1,5 °C, vielleicht gefährlich kalt')
    expect(text.split('\n').slice(0, 3)).toEqual([
      'Wacholderkiste ist vielleicht gefährlich kalt mit 1,5 °C (Grenze 1,0 °C).',
      'Der Alarm kommt schon ab 1,6 °C, weil dieser Sensor danebenliegen kann: in etwa 4 von 100 solchen Fällen ist die Grenze wirklich verletzt.',
      'Das kann jetzt gefährlich sein: hingehen und nachsehen.',
    ])
  })

  test('a silent sensor, and its end', () => {
    const { title, text } = german.compose(saying('raised', [silent]), world)
    expect(title).toBe('Bald nachsehen: Wacholderkiste, Sensor meldet nichts')
    expect(text.split('\n')).toEqual([
      'Kistenfühler meldet nichts mehr (Wacholderkiste).',
      'Seit 03:12, also seit 6 min.',
      'Dort: Tilda (Griechische Landschildkröte).',
      'Zuerst: Nachsehen, ob der Sensor Strom und Netz hat. Bis er wieder meldet, dort ein Thermometer von Hand ablesen.',
      caution,
    ])
    expect(german.compose(saying('returned', [silent]), world)).toMatchObject({
      title: 'Vorbei: Wacholderkiste',
      text: 'Wacholderkiste ist seit 03:18 wieder in Ordnung. Es war: Sensor meldet nichts.',
    })
  })

  test('the pace that an alarm gave is left out where it is known better, in whatever language it was stored', () => {
    const told = 'Seit 3 h wird gekühlt; sonst hört es nach 12 min auf, über 4,0 °C.'
    const english = 'It has cooled for 3 h; usually it stops after 12 min, above 4.0 °C.'
    const running: Alarm = { ...warm, kind: 'alwaysCooling', priority: 'medium' }
    const staysSo = () => ({
      limit: 'lowCritical' as const,
      threshold: 1,
      time: { likely: hours(6), least: hours(4), most: null },
      towards: -2,
      room: { celsius: 14, isMeasured: true },
    })
    for (const [stored, kept] of [
      [`${told}\u2002Bei diesem Tempo erreicht die Luft 1,0 °C in etwa 40 min.`, told],
      [`${english}\u2002At this pace the air meets 1.0 °C in about 40 min.`, english.replace('4.0', '4,0')],
      [`${english} At this pace the air meets 1.0 °C in about 40 min.`, english.replace('4.0', '4,0')],
    ] as const) {
      const { text } = german.compose(saying('raised', [{ ...running, text: stored }]), { ...world, staysSo })
      expect(text.split('\n').slice(0, 3)).toEqual([
        'Wacholderkiste kühlt ohne Pause.',
        kept,
        'Wenn es so bleibt: gefährlich kalt (1,0 °C) in etwa 6 h, frühestens in 4 h, vielleicht auch nie, wenn der Raum bei 14,0 °C bleibt (gemessen).',
      ])
    }
  })

  test('the morning: what the night brought, what is to be done', () => {
    const over: Alarm = {
      ...warm,
      limit: 'high',
      priority: 'low',
      state: { name: 'returnedUnacknowledged', since: raisedAt, returnedAt: now },
    }
    const tasks = german.morningList([
      task('weigh', 'Tilda wiegen'),
      task('weigh', 'Moss wiegen'),
      task('air', 'Wacholderkiste lüften'),
    ])
    expect(german.compose({ ...saying('summary', [over, silent]), tasks }, world)).toMatchObject({
      title: 'Guten Morgen von Brumal',
      text: [
        'In der Nacht, nichts davon dringend:',
        '– Wacholderkiste war zu warm mit 10,4 °C (Grenze 10,0 °C), vorbei',
        '– Kistenfühler meldet nichts mehr (Wacholderkiste)',
        'Heute:',
        '– Moss und Tilda wiegen',
        '– Wacholderkiste lüften',
        caution,
      ].join('\n'),
    })
  })
})

describe('the journal in German', () => {
  const line = { id: 'j1', at: raisedAt, by: 'Mara', place: 'juniper-box' as PlaceId }

  test('an alarm, its acknowledgement, a door', () => {
    const alarm = {
      alarm: warm.id,
      alarmKind: 'limit',
      quantity: 'temperature',
      limit: 'highCritical',
    } as const
    const said = (entry: object): string => german.journalSentence({ ...line, ...entry } as never, names)
    expect([
      said({ ...alarm, kind: 'raised', by: 'brumal', priority: 'high', value: 10.4, threshold: 10 }),
      said({ ...alarm, kind: 'acknowledged' }),
      said({ ...alarm, kind: 'shelved', text: 'Putzen' }),
      said({ kind: 'doorOpened', text: 'Laut Kontakt 40 s lang.' }),
    ]).toEqual([
      'Alarm (hoch): Wacholderkiste ist gefährlich warm mit 10,4 °C (Grenze 10,0 °C).',
      'Mara hat quittiert: Wacholderkiste gefährlich warm.',
      'Mara hat zurückgestellt: Wacholderkiste gefährlich warm. Grund: Putzen.',
      'Tür geöffnet: Wacholderkiste. Laut Kontakt 40 s lang.',
    ])
  })
})

describe('“Is everyone safe tonight?” in German', () => {
  const place = {
    id: 'juniper-box',
    name: 'Wacholderkiste',
    animals: [{ name: 'Tilda' }],
    standing: 'unsure',
    remarks: ['Kein funktionierender Sensor hier oder ringsum.'],
  } as never

  test('no with what stands, not sure with why: a sentence after a colon keeps its capital', () => {
    expect(german.answer([], [warm, silent], names).sentence).toBe(
      'Nein: Wacholderkiste ist gefährlich warm mit 10,4 °C (Grenze 10,0 °C). Und ein weiterer Alarm.',
    )
    expect(german.answer([place], [], names).sentence).toBe(
      'Nicht sicher bei Wacholderkiste: Kein funktionierender Sensor hier oder ringsum.',
    )
  })
})

describe('a report on paper in German', () => {
  const report: SeasonReport = {
    at: now,
    household: 'Lindenhaus',
    timeZone: 'Europe/Vienna',
    season: '2026/27',
    seasons: ['2026/27'],
    rows: [
      {
        animal: 'tilda' as AnimalId,
        name: 'Tilda',
        common: 'Griechische Landschildkröte',
        latin: 'Testudo hermanni',
        winter: {
          season: '2026/27',
          from: Date.UTC(2026, 10, 12) as Instant,
          to: now,
          isOver: false,
          coldDays: 60,
          lostPercent: 3.14,
          coldest: { at: raisedAt, value: 3.9 },
          warmest: { at: raisedAt, value: 6.1 },
          outOfBand: 0 as Millis,
          unknown: 0 as Millis,
          meanKinetic: null,
          alarms: 1,
        },
      },
    ],
    cautions: caution,
  }

  test('the winter of the house: heads, figures with a comma, dates, and the language of the page', () => {
    const page = german.seasonPage(report)
    expect(page).toContain('<html lang="de">')
    expect(page).toContain('<main aria-label="Bericht">')
    const body = page.slice(page.indexOf('<main'))
    const read = [...body.matchAll(/>([^<>]+)</g)]
      .map(([, text]) => text?.trim())
      .filter((text) => text !== '')
    expect(read).toEqual([
      'Lindenhaus, Winter 2026/27',
      'Stand 11. Jan. 2027, 03:18, nach den Uhren von Europe/Vienna.',
      'In der Kälte',
      ...['Tier', 'Winter', 'kalt ab', 'bis', 'Tage', 'Masseverlust'],
      ...['kältester Wert', 'wärmster Wert', 'außerhalb', 'Alarme'],
      ...['Tilda', '2026/27', '12. Nov. 2026', 'noch in Winterruhe', '60', '3,1 %'],
      ...['3,9 °C', '6,1 °C', '0 s', '1'],
      'Wach',
      'Kein Tier blieb wach.',
      caution,
    ])
  })
})

const task = (kind: 'weigh' | 'air', title: string) =>
  ({ id: title, kind, title, on: '2027-01-11', sentence: '', source: null, evidence: null }) as never
