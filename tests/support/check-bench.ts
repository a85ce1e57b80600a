import type { Browser, Page } from 'playwright-core'
import { later, minutes, seconds } from '../../schemas/amounts.ts'
import type { PlaceId, SensorId } from '../../schemas/ids.ts'
import { House } from '../../schemas/api.ts'
import { Sensor } from '../../schemas/sensor.ts'
import type { Role } from '../../schemas/person.ts'
import { complaintsOf } from './complaints.ts'
import { type HttpHouse, httpHouse } from './http-house.ts'

/** A sensor on the bench: the real routes and the real page, and a clock that moves as the bath does. */
export interface CheckBench {
  readonly house: HttpHouse
  readonly page: Page
  /** What the browser's console complained of. */
  readonly complaints: readonly string[]
  /** One reading each half minute, the clock with it; the page hears of the last. */
  reads(...celsius: readonly number[]): void
  /** Nothing is read for a while. */
  waits(ms: number): void
  sensor(): Sensor | undefined
  close(): Promise<void>
}

const every = seconds(30)

export async function checkBench(
  browser: Browser,
  given: {
    readonly role?: Role
    readonly width?: number
    readonly sensor?: object
    readonly path?: string
    readonly light?: 'light' | 'dark'
  } = {},
): Promise<CheckBench> {
  const house = await httpHouse({ webRoot: new URL('../../dist/web/', import.meta.url).pathname })
  const url = await house.app.listen({ host: '127.0.0.1', port: 0 })
  const id = 'probe-1' as SensorId
  house.desk.saveSensor(
    Sensor.parse({
      id,
      name: 'Probe one',
      place: 'fridge' as PlaceId,
      topic: 'cellar/probe',
      type: 'ds18b20',
      expectedEvery: every,
      ...given.sensor,
    }),
    'Ada',
  )
  const [name = '', value = ''] = (await house.signedIn(given.role ?? 'keeper')).split('=')
  const context = await browser.newContext({
    viewport: { width: given.width ?? 390, height: 800 },
    locale: 'en-GB',
    reducedMotion: 'reduce',
    colorScheme: given.light ?? 'light',
  })
  await context.addCookies([{ name, value, url }])
  const page = await context.newPage()
  page.setDefaultTimeout(10_000)
  const complaints = complaintsOf(page)
  await page.goto(url + (given.path ?? '/sensors/probe-1/check'))

  const hears = (celsius: number): void =>
    house.desk.hear({
      sensor: id,
      sensorName: 'Probe one',
      quantity: 'temperature',
      value: celsius,
      at: later(house.clock.now(), 0),
      quality: 'checking',
      fresh: false,
      lastKnown: false,
    })
  /** The page asks for the daemon's time again. */
  const tells = (): void => void house.desk.saveHouse(House.parse(houseOf(house)), 'Ada')
  return {
    house,
    page,
    complaints,
    reads(...celsius) {
      for (const one of celsius) {
        house.clock.move(every)
        hears(one)
      }
      tells()
    },
    waits(ms) {
      house.clock.move(ms)
      tells()
    },
    sensor: () => house.desk.household().sensors.find((one) => one.id === id),
    async close() {
      await context.close()
      await house.close()
    },
  }
}

const houseOf = (house: HttpHouse): House => {
  const { name, timeZone, night, hemisphere, guidance } = house.desk.household()
  return { name, timeZone, night, hemisphere, guidance }
}

/** A probe that cools into the bath and rests 0.31 K too warm in it, by its own steps. */
export const intoTheIce = [18, 9, 4.5, 2.3, 1.2, 0.75, 0.5, 0.4375, 0.375, 0.3125] as const
export const atRest: readonly number[] = Array.from({ length: 12 }, (_, i) => (i % 3 === 0 ? 0.25 : 0.3125))
export const longWait = minutes(10)
