import type { WhatIfDesk } from '../../daemon/ports/what-if.ts'
import type { Household } from '../../schemas/household.ts'
import type { WhatIfId, WhatIfNow } from '../../schemas/what-if.ts'
import { instant } from '../../schemas/amounts.ts'
import { objectionToTried } from '../../shared/what-if/objection.ts'

/** Looks back of a desk in memory: they begin and never end, but by being cancelled. */
export function whatIfForHttp(household: () => Household): WhatIfDesk {
  const runs = new Map<WhatIfId, WhatIfNow>()
  const running = () => [...runs.values()].find(({ state }) => state === 'running')?.id ?? null
  const refused = <Code extends string>(error: Code, sentence: string) =>
    ({ ok: false, error, sentence }) as const
  return {
    whatIfBasis(id, season) {
      const place = household().places.find((one) => one.id === id)
      if (place === undefined) return refused('noSuchPlace', 'No such place.')
      if (season !== null && !/^\d{4}/.test(season)) return refused('badSeason', 'No such season.')
      const value = {
        place: id,
        name: place.name,
        timeZone: household().timeZone,
        season: season ?? '2025/26',
        seasons: [season ?? '2025/26'],
        stretch: { from: instant(1), to: instant(2), isCold: false },
        bands: [{ of: 'now' as const, bands: {} }],
        quantities: ['temperature' as const],
        isGuarded: true,
        silentAfter: null,
        running: running(),
      }
      return { ok: true, value }
    },
    startWhatIf(ask) {
      const { places } = household()
      if (ask.place !== null && !places.some(({ id }) => id === ask.place))
        return refused('noSuchPlace', 'No such place.')
      const objection = objectionToTried(ask.tried)
      if (objection !== null) return refused('badLimits', objection)
      if (running() !== null) return refused('alreadyRuns', 'One is going on.')
      const id = `run-${runs.size + 1}` as WhatIfId
      const value: WhatIfNow = { state: 'running', id, ask, done: 0, readings: 0 }
      runs.set(id, value)
      return { ok: true, value }
    },
    whatIf(id) {
      const run = runs.get(id)
      return run === undefined ? refused('noSuchRun', 'No such look back.') : { ok: true, value: run }
    },
    cancelWhatIf(id) {
      const run = runs.get(id)
      if (run === undefined) return refused('noSuchRun', 'No such look back.')
      if (run.state === 'running') runs.set(id, { state: 'cancelled', id, ask: run.ask })
      else runs.delete(id)
      return { ok: true, value: null }
    },
  }
}
