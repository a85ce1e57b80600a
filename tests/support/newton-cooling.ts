/**
 * Newton's law of cooling, t = τ ln((T∞ − T₀)/(T∞ − X)), worked out for a box at 5 °C when the power fails: hours until it
 * is at `to` °C in a room at `room` °C, its time constant `tau` hours. Calculated.
 */
export const newtonCooling: readonly {
  readonly tau: number
  readonly room: number
  readonly to: number
  readonly takes: number
}[] = [
  { tau: 1, room: 20, to: 8, takes: 0.2231 },
  { tau: 1, room: 20, to: 10, takes: 0.4055 },
  { tau: 1, room: -5, to: 2, takes: 0.3567 },
  { tau: 1, room: -5, to: 0, takes: 0.6931 },
  { tau: 2, room: 20, to: 8, takes: 0.4463 },
  { tau: 2, room: 20, to: 10, takes: 0.8109 },
  { tau: 2, room: -5, to: 1, takes: 1.0217 },
  { tau: 5, room: 20, to: 8, takes: 1.1157 },
  { tau: 5, room: 20, to: 10, takes: 2.0273 },
  { tau: 5, room: -5, to: 2, takes: 1.7834 },
  { tau: 5, room: -5, to: 0, takes: 3.4657 },
  { tau: 10, room: 20, to: 8, takes: 2.2314 },
  { tau: 10, room: 20, to: 10, takes: 4.0547 },
  { tau: 10, room: -5, to: 2, takes: 3.5667 },
  { tau: 10, room: -5, to: 0, takes: 6.9315 },
]
