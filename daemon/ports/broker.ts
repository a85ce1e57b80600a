import type { BrokerState } from '../../schemas/api.ts'

/** A message as a broker gave it to us. */
export interface Packet {
  readonly topic: string
  readonly payload: Uint8Array
  readonly qos: 0 | 1 | 2
  readonly retained: boolean
  /** Who sent it to our own broker, and sends nothing more until it is answered. */
  readonly client?: string
}

/**
 * Called exactly once: of QoS 0 at once; else in order of arrival, `null` after what came of the packet is committed, so
 * that the broker may be told; an error when it could not be stored, so that the broker keeps it.
 */
export type Settle = (failure: Error | null) => void

export type OnPacket = (packet: Packet, settle: Settle) => void

/** Either kind of broker. `start` never throws for a network reason: it says so in its state and tries again. */
export interface Broker {
  start(onPacket: OnPacket): void
  state(): BrokerState
  onState(listener: (state: BrokerState) => void): void
  /** Called where a broker that was to keep our session has forgotten it: what was sent meanwhile is lost. */
  onForgotten(listener: () => void): void
  /** Resolves when handed to the network; a broker that is down drops it. */
  publish(topic: string, payload: string | Uint8Array, options: { retain: boolean }): Promise<void>
  /** Takes nothing new, settles what is in hand, closes. */
  stop(): Promise<void>
}
