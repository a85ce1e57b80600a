import type { PlaceId, SensorId } from './ids.ts'

// Plain functions, apart from the schemas so that a page that uses them carries no validator.

/** Whether this daemon watches: retained, `offline` by the will where the broker is another's. */
export const statusTopic = 'brumal/status'
export type DaemonStatus = 'online' | 'offline'

/** Holds, retained, the `Signal` of one place. */
export const alarmTopic = (place: PlaceId): string => `brumal/alarm/${place}`

/** A device's own topic; what is below it is its own too. */
export const deviceTopic = (name: string): string => `brumal/in/${name}`

/** On a broker elsewhere, where several households come together: what one sensor of one of them said. */
export const siteReadingsTopic = (site: string, sensor: SensorId): string =>
  `brumal/site/${site}/readings/${sensor}`

/** On a broker elsewhere: what changed of the alarms of one household. */
export const siteAlarmsTopic = (site: string): string => `brumal/site/${site}/alarms`

/** Whether a topic is one that only this daemon publishes to. */
export const isOurTopic = (topic: string): boolean => /^brumal\/(?:alarm|status)(?:\/|$)/.test(topic)

/** Whether a topic filter takes in any topic that no device may publish to: ours, or the broker's own (`$…`). */
export function takesInReserved(filter: string): boolean {
  const levels = filter.split('/')
  return filter.startsWith('$') || reserved.some((branch) => meets(levels, branch))
}

const reserved = [
  ['brumal', 'alarm'],
  ['brumal', 'status'],
] as const

/** Whether a filter takes in a topic of the branch: the branch itself or anything below it. */
function meets(filter: readonly string[], branch: readonly string[]): boolean {
  for (const [i, level] of branch.entries()) {
    if (filter[i] === '#') return true
    if (filter[i] !== '+' && filter[i] !== level) return false
  }
  return true
}
