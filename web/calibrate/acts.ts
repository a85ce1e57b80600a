import type { Calibration } from '../../schemas/calibration.ts'
import type { Sensor } from '../../schemas/sensor.ts'
import type { FoundCorrection } from '../../schemas/sensor-check.ts'
import { pathTo, type Answer } from '../page/ask.ts'
import type { Page } from '../page/page.ts'
import { say } from '../../shared/words/say.ts'

/** Takes it away for so long at most; zero ends the check. */
export const takeAway = (page: Page, sensor: Sensor, minutes: number): Promise<Answer<Sensor>> =>
  refreshed(page, page.ask<Sensor>('POST', pathTo('sensors', sensor.id, 'check'), { minutes }))

export const saveCorrection = (page: Page, sensor: Sensor, found: FoundCorrection): Promise<Answer<Sensor>> =>
  refreshed(page, page.ask<Sensor>('POST', pathTo('sensors', sensor.id, 'calibrations'), found))

/** Takes the newest back, and offers the way back from that. */
export async function takeBack(page: Page, sensor: Sensor, old: Calibration): Promise<Answer<Sensor>> {
  const path = pathTo('sensors', sensor.id, 'calibrations', old.quantity, String(old.from))
  const answer = await refreshed(page, page.ask<Sensor>('DELETE', path))
  if (!answer.ok) return answer
  page.undo.value = {
    sentence: say('Took back a correction of {sensor}.', { sensor: sensor.name }),
    undo: async () => {
      await page.refresh()
      const now = page.household.value?.sensors.find(({ id }) => id === sensor.id)
      const back =
        now === undefined
          ? null
          : await page.ask<Sensor>('PUT', pathTo('sensors', sensor.id), {
              ...now,
              calibrations: [...now.calibrations, old],
            })
      if (back?.ok !== true) page.undo.value = { sentence: say('It could not be put back.'), undo: null }
      await page.refresh()
    },
  }
  return answer
}

async function refreshed<T>(page: Page, asking: Promise<Answer<T>>): Promise<Answer<T>> {
  const answer = await asking
  if (answer.ok) await page.refresh()
  return answer
}
