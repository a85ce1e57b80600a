import type { Page } from 'playwright-core'
import type { JournalLine, PlaceNow, Tonight } from '../../schemas/api.ts'
import type { Household } from '../../schemas/household.ts'
import { hours } from '../../schemas/amounts.ts'
import { inventedTruth } from './web-fixture-curves.ts'

/** Where the fixture's night stands. */
const now = Date.parse('2027-01-13T03:07:00+01:00')
const ago = (minutes: number): number => now - minutes * 60_000

const truth = inventedTruth(null)

const line = (id: number, at: number, kind: string, alarmKind: string, more: object) =>
  ({
    id,
    at,
    kind,
    by: 'brumal',
    alarm: `${alarmKind}:larder-fridge`,
    alarmKind,
    place: 'larder-fridge',
    ...more,
  }) as JournalLine

/** A night in which the fridge did not cool for a while, its door stood ajar, and one of its sensors was silent. */
const markedNight: readonly JournalLine[] = [
  line(7001, ago(330), 'raised', 'silent', {
    alarm: 'silent:fridge-wall',
    sensor: 'fridge-wall',
    priority: 'low',
  }),
  line(7002, ago(262), 'raised', 'doorAjar', { priority: 'medium' }),
  line(7003, ago(250), 'returned', 'doorAjar', { priority: 'medium' }),
  line(7004, ago(190), 'raised', 'notCooling', { priority: 'medium' }),
  line(7005, ago(170), 'raised', 'limit', {
    alarm: 'limit:larder-fridge:temperature:highCritical',
    quantity: 'temperature',
    limit: 'highCritical',
    priority: 'high',
  }),
  line(7006, ago(128), 'returned', 'limit', {
    alarm: 'limit:larder-fridge:temperature:highCritical',
    quantity: 'temperature',
    limit: 'highCritical',
    priority: 'high',
  }),
  line(7007, ago(95), 'returned', 'notCooling', { priority: 'medium' }),
]

/** Tells the page of that night, of animals that follow the cellar's air by two hours, and of a guarded low limit. */
export async function markNight(page: Page): Promise<void> {
  await page.route('**/api/journal?*', async (route) => {
    const answer = await route.fetch()
    const asked = new URL(route.request().url()).searchParams
    const ours = markedNight.filter(
      ({ kind, place = '' }) => asked.getAll('kind').includes(kind) && asked.getAll('place').includes(place),
    )
    await route.fulfill({ response: answer, json: [...ours, ...((await answer.json()) as JournalLine[])] })
  })
  await page.route('**/api/household', async (route) => {
    const answer = await route.fetch()
    const household = (await answer.json()) as Household
    const places = household.places.map((place) =>
      place.id === 'cellar' ? { ...place, animalLag: hours(2) } : place,
    )
    await route.fulfill({ response: answer, json: { ...household, places } })
  })
  await page.route('**/api/sensors/*/series?*', async (route) => {
    const { pathname, searchParams } = new URL(route.request().url())
    const sensor = pathname.split('/').at(-2) ?? ''
    const [from, to] = [Number(searchParams.get('from')), Number(searchParams.get('to'))]
    const at = Array.from({ length: Math.floor((to - from) / 300_000) }, (_, i) => from + i * 300_000)
    const mean = at.map((t) => truth(sensor, 'temperature', t))
    const columns = { at, low: mean, mean, high: mean }
    await route.fulfill({
      json: { sensor, quantity: 'temperature', resolution: 'columns', columns, bad: [] },
    })
  })
  await page.route('**/api/tonight', async (route) => {
    const answer = await route.fetch()
    const tonight = (await answer.json()) as Tonight
    await route.fulfill({ response: answer, json: { ...tonight, places: tonight.places.map(guarded) } })
  })
}

function guarded(place: PlaceNow): PlaceNow {
  const { temperature } = place.bands
  if (!temperature?.lowCritical) return place
  const lowCritical = { ...temperature.lowCritical, guarded: temperature.lowCritical.value + 0.5 }
  return { ...place, bands: { ...place.bands, temperature: { ...temperature, lowCritical } } }
}
