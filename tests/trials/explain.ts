import { judgeWords } from './report.ts'
import type { Explaining } from './winter.ts'

/** Prints one winter: what is in the house, what breaks, the truth every six hours and near the fault each hour, the alarms. */
export function explaining(print: (line: string) => void): Explaining {
  let start = 0
  let begins: number | null = null
  const into = (at: number): string => `${((at - start) / 86_400_000).toFixed(3).padStart(7)} d`
  return {
    house(setting, everyday, timed) {
      start = setting.start
      begins = timed?.from ?? null
      const { body, surroundings, probes, ...rest } = setting
      print(JSON.stringify(rest))
      print(`round it ${JSON.stringify(surroundings)}`)
      print(`body ${JSON.stringify(body)}`)
      for (const probe of probes) print(`probe ${JSON.stringify(probe)}`)
      print(`fault ${timed === null ? 'none' : `${into(timed.from)} ${JSON.stringify(timed)}`}`)
      for (const { from, to, tendedUntil } of everyday.openings)
        print(
          `${into(from)} opened for ${((to - from) / 60_000).toFixed(1)} min${tendedUntil === null ? '' : ', announced'}`,
        )
      for (const { from, to, by } of everyday.spells)
        print(`${into(from)} warm spell of ${by.toFixed(1)} K for ${((to - from) / 3_600_000).toFixed(0)} h`)
      for (const { from, to } of everyday.blinks)
        print(`${into(from)} mains away for ${((to - from) / 60_000).toFixed(1)} min`)
    },
    hour(at, outside, nodes, twin, seen) {
      const isNear = begins !== null && Math.abs(at - begins) < 12 * 3_600_000
      if (!isNear && Math.round((at - start) / 3_600_000) % 6 !== 0) return
      const shown = seen.map(({ shown, isMute }) => (isMute ? '–' : shown.toFixed(2)))
      const [air, , box, animal] = nodes.map((value) => value.toFixed(2))
      print(
        `${into(at)} outside ${outside.toFixed(1)}  air ${air}  box ${box}  animal ${animal} (twin ${twin.toFixed(2)})  shown ${shown.join(' ')}`,
      )
    },
    told(by, { at, kind, priority }) {
      print(
        `${into(at)} ${judgeWords[by]}: ${kind} (${priority})${begins !== null && at >= begins ? ' – after the fault began' : ''}`,
      )
    },
  }
}
