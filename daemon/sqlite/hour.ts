/** Milliseconds of a clock hour. */
export const hourMs = 3_600_000

/** Whole hours since the epoch, UTC. */
export const hourOf = (at: number): number => Math.floor(at / hourMs)

export const startOf = (hour: number): number => hour * hourMs

/** How far back a value may still be in force at the start of an hour; longer silences are unknown time in any case. */
export const lookBackHours = 24
