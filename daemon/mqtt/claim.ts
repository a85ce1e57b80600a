import type { SensorId } from '../../schemas/ids.ts'
import { isOurTopic } from '../../schemas/own-topics.ts'
import type { Quantity } from '../../schemas/quantity.ts'
import type { Decoder, Sensor } from '../../schemas/sensor.ts'
import type { Found, Refusal } from '../../schemas/source.ts'
import type { Instant } from '../../schemas/units.ts'
import type { Packet } from '../ports/broker.ts'
import type { Clock } from '../ports/clock.ts'
import type { Heard, Intake, Listener } from '../ports/intake.ts'
import { decode } from './decode/decode.ts'
import { hintOf } from './decode/quantity-words.ts'
import { hasWildcard, isUsableTopic, matchesLevels } from './topic-filter.ts'

export { matchesFilter } from './topic-filter.ts'

/**
 * Finds the sensors that claim a packet's topic, decodes it once for each way that they read it, and hands on what came
 * of it. A topic that nobody claims is read as `auto` would, so that it can be offered. Never throws for a packet.
 */
export function makeListener({ clock, intake }: { clock: Clock; intake: Intake }): Listener {
  let planFor = plansFor([])
  return {
    useSensors(sensors) {
      planFor = plansFor(sensors)
    },
    onPacket(packet, settle) {
      const { topic, payload, retained, qos, client } = packet
      // what we tell lamps comes back where we listen to everything: it is no source, and no sensor may claim it
      if (isOurTopic(topic)) return settle(null)
      intake({ topic, payload, retained, qos, client, ...whatCameOf(packet, planFor, clock.now()) }, settle)
    },
  }
}

/** How a claimed topic is read: by whom, and each manner once for all sensors that share it. */
interface Plan {
  readonly claimedBy: readonly SensorId[]
  readonly ways: readonly Way[]
}

interface Way {
  readonly decoder: Decoder
  readonly hint: Quantity | null
  readonly sensors: readonly Sensor[]
}

type PlanFor = (topic: string) => Plan | null

interface WhatCame {
  readonly claimedBy: readonly SensorId[]
  readonly heard: readonly Heard[]
  readonly found: readonly Found[]
  readonly refusal: Refusal | null
}

/** Plans kept: more claimed topics than a house has; a flood of topics under a wildcard empties the store (X3). */
const MAX_PLANS = 1000

function plansFor(sensors: readonly Sensor[]): PlanFor {
  const exact = new Map<string, Sensor[]>()
  const wild: { readonly levels: readonly string[]; readonly sensor: Sensor }[] = []
  for (const sensor of sensors) {
    if (hasWildcard(sensor.topic)) wild.push({ levels: sensor.topic.split('/'), sensor })
    else exact.set(sensor.topic, [...(exact.get(sensor.topic) ?? []), sensor])
  }
  const kept = new Map<string, Plan>()

  return (topic) => {
    const known = kept.get(topic)
    if (known !== undefined) return known
    const claims = [...(exact.get(topic) ?? none)]
    const levels = topic.split('/')
    for (const each of wild) if (matchesLevels(each.levels, levels)) claims.push(each.sensor)
    if (claims.length === 0) return null
    if (kept.size >= MAX_PLANS) kept.clear()
    const plan = planOf(topic, claims)
    kept.set(topic, plan)
    return plan
  }
}

function planOf(topic: string, claims: readonly Sensor[]): Plan {
  const byManner = new Map<string, Sensor[]>()
  for (const sensor of claims) {
    const manner = JSON.stringify(sensor.decoder)
    byManner.set(manner, [...(byManner.get(manner) ?? []), sensor])
  }
  const hint = hintOf(topic)
  const ways = [...byManner.values()].map((alike) => ({ decoder: alike[0]!.decoder, hint, sensors: alike }))
  return { claimedBy: claims.map((sensor) => sensor.id), ways }
}

const none: readonly never[] = []
const nothing = (refusal: Refusal): WhatCame => ({ claimedBy: none, heard: none, found: none, refusal })

function whatCameOf(packet: Packet, planFor: PlanFor, now: Instant): WhatCame {
  const { topic, payload } = packet
  if (!isUsableTopic(topic)) return nothing('badTopic')
  // a retained message's "now" is long past: what it says relative to now has no instant (L6)
  const messageNow = packet.retained ? null : now
  const plan = planFor(topic)
  if (plan === null) {
    const decoded = decode({ kind: 'auto' }, payload, messageNow, hintOf(topic))
    if (!decoded.ok) return nothing(decoded.refusal)
    return { claimedBy: none, heard: none, found: decoded.found, refusal: null }
  }

  const heard: Heard[] = []
  const found: Found[] = []
  let refusal: Refusal | null = null
  for (const { decoder, hint, sensors } of plan.ways) {
    const decoded = decode(decoder, payload, messageNow, hint)
    if (!decoded.ok) {
      refusal ??= decoded.refusal
      continue
    }
    addNew(found, decoded.found)
    for (const { id, channel } of sensors) {
      const values = onChannel(decoded.found, channel)
      if (values.length === 0) refusal ??= 'channelMissing'
      for (const { quantity, value, at } of values) heard.push({ sensor: id, quantity, value, at })
    }
  }
  return { claimedBy: plan.claimedBy, heard, found, refusal: heard.length > 0 ? null : refusal }
}

/** The values of a channel. Empty: the values without a channel or, where every value has one and the same, those. */
function onChannel(found: readonly Found[], channel: string): readonly Found[] {
  if (found.length === 1 && (channel === '' || found[0]!.channel === channel)) return found
  const named = found.filter((each) => each.channel === channel)
  if (channel !== '' || named.length > 0) return named
  const only = found[0]?.channel
  return found.every((each) => each.channel === only) ? found : none
}

/** What a second way of reading found beside the first; the same value twice is shown once. */
function addNew(found: Found[], more: readonly Found[]): void {
  const before = found.length
  for (const one of more) {
    const isKnown = found
      .slice(0, before)
      .some((each) => each.channel === one.channel && each.quantity === one.quantity && each.at === one.at)
    if (!isKnown) found.push(one)
  }
}
