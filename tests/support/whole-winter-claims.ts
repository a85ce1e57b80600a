import { parse } from 'csv-parse/sync'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import type { AnimalReport, SeasonReport } from '../../schemas/animal-report.ts'
import type { Household } from '../../schemas/household.ts'
import { daysBetween, localDate } from '../../shared/time/wall.ts'
import { atWall, coldNight, firstDay, lastDay, type Winter } from './whole-winter-cast.ts'
import { expectGolden } from './whole-winter-golden.ts'
import { liveThrough } from './whole-winter-story.ts'

/** Two hundred days take some twenty seconds where nothing else runs. */
const livedWithin = 600_000

/** What must be true of a whole winter of twelve animals, wherever it is winter. */
export function claimsOf(winter: Winter): void {
  describe(`a whole winter of twelve animals in the ${winter.name}`, () => {
    let lived: Awaited<ReturnType<typeof liveThrough>>
    const told = () => lived.told
    const read = <Value>(url: string) => lived.house.must<Value>('keeper', 'GET', url)
    const table = async (url: string): Promise<readonly Record<string, string>[]> =>
      parse(await read<string>(url), { columns: true, bom: true })

    beforeAll(async () => {
      lived = await liveThrough(winter)
    }, livedWithin)
    afterAll(() => lived?.house.close())

    test('reads as its golden log', () => expectGolden(`winters/${winter.name}.txt`, told().log))

    test('S4: no reminder is doubled, lost over a night, out of order, or stays though it was done', () => {
      expect(told().reminderFaults).toEqual([])
    })

    test('S4: nor in the night in which the clocks change', () => {
      const offset = (at: number) =>
        new Date(at)
          .toLocaleString('en', { timeZone: winter.zone, timeZoneName: 'longOffset' })
          .split('GMT')[1]
      expect(offset(atWall(winter, firstDay, '12:00'))).not.toBe(offset(atWall(winter, 0, '12:00')))
    })

    test('L8: the band of each place is on each evening what the plans of its animals give', () => {
      expect(told().bandFaults).toEqual([])
      expect(told().bandsSeen).toBeGreaterThan(3000)
    })

    test('S1, S3: too light, too hot a species, unlike box-mates are refused; the young are cut to the cap', () => {
      const status = (key: string) => told().statuses.get(key)
      expect(['draft thimble -76', 'draft maize -76', 'propose amber -76'].map(status)).toEqual([
        422, 422, 422,
      ])
      expect(['draft bramble -76', 'draft clover -76', 'draft maize -75'].map(status)).toEqual([
        200, 200, 200,
      ])
      expect(told().log).toContain('the plan stops at the 42 days that are allowed')
    })

    test('S1: the gate is shut while something is missing, and opens for a reason that is kept', async () => {
      const status = (key: string) => told().statuses.get(key)
      expect(['tooEarly', 'maize shut', 'maize anyway'].map(status)).toEqual([409, 409, 200])
      const { winter: maize } = await read<AnimalReport>('/api/animals/maize/report')
      expect(maize?.anyway).toContain('four winters')
    })

    test('X1: a sitter may look after them and not wake them', () => {
      expect(told().statuses.get('sitter')).toBe(403)
    })

    test('S2: the day on which the loss is met was foretold with its bounds', () => {
      const { projected } = told()
      expect(projected).not.toBeNull()
      const woken = atWall(winter, projected?.wokenDay ?? 0, '18:00')
      expect(
        daysBetween(localDate(projected?.soonest as never, winter.zone), localDate(woken, winter.zone)),
      ).toBeGreaterThanOrEqual(-1)
      expect(projected?.wokenDay).toBeGreaterThan(coldNight)
    })

    test('whoever must be woken is named in the order of need', () => {
      expect(told().wakeFirst.get(41)?.slice(0, 2)).toEqual(['sorrel', 'ribbon'])
      expect(told().wakeFirst.get(42)?.[0]).toBe('clover')
    })

    test('S3: at the cap it is to be woken now, and stays so until it is', () => {
      const woken = [41, 42, 43].map((day) => told().wakeFirst.get(day)?.includes('clover') ?? false)
      expect(woken).toEqual([true, true, false])
    })

    test('a step of waking that is late sends to a vet, and is over when all is normal', () => {
      const steps = told().waking
      expect(steps.get(70)).toContain('urates waiting')
      expect([...steps.values()].some((all) => all.includes('urates late'))).toBe(true)
      expect(steps.get(84)).toEqual([])
    })

    test('the report of one animal in hold reads as its golden page', () =>
      expectGolden(`winters/${winter.name}-report.html`, told().page))

    test('the report of a winter that is over is of the box in which the animal lay, not of where it lives now', async () => {
      const { winter: bramble, place, days } = await read<AnimalReport>('/api/animals/bramble/report')
      const now = (await read<Household>('/api/household')).animals.find(({ id }) => id === 'bramble')
      expect(now?.place).not.toBe(place?.id)
      const held = bramble?.steps.find(({ phase }) => phase === 'hold')?.from ?? Number.NaN
      const inHold = days.filter(({ date }) => Date.parse(date) > held + 2 * 86_400_000)
      expect(inHold.length).toBeGreaterThan(50)
      expect(Math.max(...inHold.map(({ max }) => max ?? Number.NaN))).toBeLessThan(10)
      expect(bramble?.figures.isOver).toBe(true)
      // Her cupboard kept its band but for the cold night of the story
      expect(bramble?.figures.outOfBand ?? Number.NaN).toBeLessThan(3 * 86_400_000)
    })

    test('each that went down has a winter that is over in the report of the season', async () => {
      const { season, rows } = await read<SeasonReport>('/api/season/report')
      expect(season).toBe(winter.season)
      expect(rows).toHaveLength(12)
      const down = rows.filter((row) => row.winter !== null)
      expect(down.map(({ animal }) => animal).toSorted()).toEqual(
        ['bramble', 'clover', 'sorrel', 'ribbon', 'marl', 'loam', 'maize', 'saffron'].toSorted(),
      )
      expect(down.every((row) => row.winter?.isOver)).toBe(true)
    })

    test('its tables are read back line by line (RFC 4180)', async () => {
      const diary = await table('/api/diary.csv')
      expect(new Set(diary.map(({ id }) => id)).size).toBe(diary.length)
      expect(diary.filter(({ kind }) => kind === 'coolingBegan')).toHaveLength(8)
      expect(diary.filter(({ kind }) => kind === 'warmingBegan')).toHaveLength(8)
      const again = await lived.house.must<{ entries: readonly unknown[]; faults: readonly unknown[] }>(
        'keeper',
        'POST',
        '/api/diary/import?trial=true',
        { csv: await read<string>('/api/diary.csv') },
      )
      expect([again.entries, again.faults]).toEqual([[], []])
      const nights = await table('/api/places/fridge/nights.csv')
      expect(nights.length).toBeGreaterThan(lastDay - firstDay - 3)
    })

    test('the calendar holds each reminder of four months ahead, and nothing twice (RFC 5545)', () => {
      expect(told().feeds.length).toBeGreaterThan(5)
      for (const { events, uids, missing } of told().feeds) expect([uids, missing]).toEqual([events, []])
    })
  })
}
