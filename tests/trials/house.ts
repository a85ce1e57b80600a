import { minutes } from '../../schemas/amounts.ts'
import { airNode, animalNode, bodySteps, boxNode, coolerShare, type Nodes, plateNode } from './body.ts'
import type { Everyday } from './everyday.ts'
import { type Fault, lastingOf } from './families.ts'
import type { Probe, Setting } from './setting.ts'
import { covering } from './span.ts'

/** A fault, when it begins and, for a fault of one, in which probe. */
export interface TimedFault {
  readonly fault: Fault
  readonly from: number
  readonly probe: string
}

/** What one probe does in one step. */
export interface Seen {
  /** What it would show without noise and steps. */
  readonly signal: number
  readonly shown: number
  /** It says nothing, of itself. */
  readonly isMute: boolean
}

export interface TrialHouse {
  /** Moves on to `at`; `noise` holds each probe's, so that two houses can share it. */
  step(at: number, outside: number, noise: readonly number[]): void
  readonly truth: () => number
  readonly nodes: () => Nodes
  readonly seen: readonly Seen[]
  readonly isPowered: () => boolean
}

/** A switch that loses its probe holds for so long before it gives up, where it does. */
const switchPatience = minutes(15)

/** Wide open without a fault, for the whole opening: everyday openings are short. */
const wideOpen = 1

/** One house through one winter, with or without its fault. */
export function trialHouse(setting: Setting, everyday: Everyday, timed: TimedFault | null): TrialHouse {
  const { stepMs, probes, cooler, heater } = setting
  const solve = bodySteps(setting.body, stepMs / 1000)
  const openingAt = covering(everyday.openings)
  const blinkAt = covering(everyday.blinks)
  const defrostAt = covering(everyday.defrosts)
  const lives = probes.map(({ id }) => {
    const life = everyday.probes.get(id)
    return { batteryAt: covering(life?.battery ?? []), movedAt: covering(life?.moved ?? []) }
  })
  const aim = cooler?.setPoint ?? heater?.setPoint ?? 5
  let nodes: Nodes = [aim, aim, aim, aim]
  let isCooling = false
  let isHeating = false
  let isPowered = true
  let heardByProbe = 0
  const lagged = probes.map(() => aim)
  const kept = probes.map((probe) => Math.exp(-stepMs / probe.lag))
  const seen: Seen[] = probes.map(() => ({ signal: aim, shown: aim, isMute: false }))
  const reads = probes.findIndex(({ id }) => id === setting.readsProbe?.id)
  const until = timed === null ? 0 : timed.from + lastingOf(timed.fault)

  function switchOver(at: number, fault: Fault | null): void {
    let value = nodes[airNode]
    const probe = seen[reads]
    if (probe !== undefined) {
      value = probe.shown
      if (probe.isMute) {
        if (setting.readsProbe?.onLoss === 'off' && at - heardByProbe > switchPatience) {
          isCooling = false
          isHeating = false
        }
        return
      }
      heardByProbe = at
    }
    if (cooler !== null) {
      const over = value - cooler.setPoint
      const half = cooler.hysteresis / 2
      isCooling = over >= half || (isCooling && over > -half)
    }
    if (heater !== null) {
      const hour = (at / 3_600_000) % 24
      const night = hour >= 20 || hour < 8 ? heater.nightDrop : 0
      const under = heater.setPoint - night - value
      const half = heater.hysteresis / 2
      isHeating = under >= half || (isHeating && under > -half)
    }
    if (fault?.kind === 'coolerOn') isCooling = true
    if (fault?.kind === 'coolerOff') isCooling = false
    if (fault?.kind === 'heaterOn') isHeating = true
  }

  function coolerWatts(at: number, fault: Fault | null): number {
    if (cooler === null || !isCooling || !isPowered) return 0
    if (fault?.kind !== 'coolerOn' && defrostAt(at) !== null) return 0
    let watts = cooler.watts * coolerShare(nodes[plateNode])
    if (fault?.kind === 'coolerOn') watts *= fault.power
    if (fault?.kind === 'gasLoss' && timed !== null)
      watts *= fault.left + (1 - fault.left) * Math.exp(-(at - timed.from) / fault.fadesIn)
    return watts
  }

  function sense(at: number, p: number, outside: number, noise: number, fault: Fault | null): Seen {
    const probe = probes[p] as Probe
    const life = lives[p]
    const own = timed?.probe === probe.id ? fault : null
    const isOutside =
      probe.node === 'outside' || isDuring(life?.movedAt, at) || own?.kind === 'sensorFallenOff'
    const round = isOutside ? outside : nodes[probe.node === 'air' ? airNode : boxNode]
    const keep = kept[p] ?? 0
    lagged[p] = round + keep * ((lagged[p] ?? round) - round)
    const days = (at - setting.start) / 86_400_000
    let signal = lagged[p] + probe.offset + probe.driftPerDay * days
    if (own?.kind === 'sensorDrifting' && timed !== null)
      signal += (own.perDay * (at - timed.from)) / 86_400_000
    const isMute =
      own?.kind === 'sensorSilent' || isDuring(life?.batteryAt, at) || (probe.isOnMains && !isPowered)
    const before = seen[p]
    if (own?.kind === 'sensorStuck' && before !== undefined)
      return { signal: before.shown, shown: before.shown, isMute }
    const shown = Math.round((signal + noise) / probe.step) * probe.step
    return { signal, shown: Math.round(shown * 1e4) / 1e4, isMute }
  }

  return {
    seen,
    truth: () => nodes[animalNode],
    nodes: () => nodes,
    isPowered: () => isPowered,
    step(at, outsideNow, noise) {
      const fault = timed !== null && at > timed.from && at <= until ? timed.fault : null
      const outside = outsideNow - (fault?.kind === 'frostThroughWall' ? fault.colder : 0)
      isPowered = fault?.kind !== 'mainsCut' && blinkAt(at) === null
      switchOver(at, fault)
      const isFanDead = fault?.kind === 'fanDead'
      const ajar = fault?.kind === 'doorAjar' ? fault.open : 0
      nodes = solve(nodes, outside, setting.ground, {
        coolerWatts: coolerWatts(at, fault),
        heaterWatts:
          heater === null || !isHeating || !isPowered
            ? 0
            : heater.watts * (fault?.kind === 'heaterDead' ? fault.left : 1),
        open: openingAt(at) === null ? ajar : wideOpen,
        fan: isFanDead ? fault.left : 1,
        wall: fault?.kind === 'frostThroughWall' ? fault.times : 1,
      })
      for (let p = 0; p < probes.length; p++) seen[p] = sense(at, p, outside, noise[p] ?? 0, fault)
    },
  }
}

const isDuring = (spanAt: ((at: number) => unknown) | undefined, at: number): boolean =>
  spanAt !== undefined && spanAt(at) !== null
