import { Household } from '../../schemas/household.ts'

/** What a first start begins with; everything in it is changed on screen. */
export const newHousehold = (timeZone: string): Household =>
  Household.parse({ version: 1, name: 'Our winter house', timeZone, hemisphere: hemisphereOf(timeZone) })

/** A first guess that the keeper sees and changes: zones with summer time in January lie south. */
function hemisphereOf(timeZone: string): 'north' | 'south' {
  const offset = (month: number) =>
    new Intl.DateTimeFormat('en', { timeZone, timeZoneName: 'longOffset' })
      .format(Date.UTC(2026, month, 1))
      .replace(/^.*GMT/, '')
  const [january, july] = [offset(0), offset(6)]
  if (january !== july) return minutesOf(january) > minutesOf(july) ? 'south' : 'north'
  return /^(?:Australia|Antarctica)\/|^Africa\/(?:Johannesburg|Harare|Maputo|Windhoek)$|^America\/(?:Argentina|Sao_Paulo|Montevideo|La_Paz|Lima)/.test(
    timeZone,
  )
    ? 'south'
    : 'north'
}

function minutesOf(offset: string): number {
  const match = /^([+-])(\d{2}):(\d{2})$/.exec(offset)
  return match === null ? 0 : (match[1] === '-' ? -1 : 1) * (Number(match[2]) * 60 + Number(match[3]))
}
