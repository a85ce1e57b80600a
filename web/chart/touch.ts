import type uPlot from 'uplot'

export interface Touch {
  readonly plugin: uPlot.Plugin
  /** Whether the last pointer here was a finger: what it pointed at stays when it leaves. */
  isByFinger(): boolean
}

/** One finger moves the crosshair, two stretch and shift the time axis; the page still scrolls up and down. */
export function createTouch(): Touch {
  let isByFinger = false
  const fingers = new Map<number, number>()
  let start: { spread: number; middle: number; min: number; max: number } | null = null

  const spreadOf = (xs: readonly number[]): number => Math.max(...xs) - Math.min(...xs)
  const middleOf = (xs: readonly number[]): number => (Math.max(...xs) + Math.min(...xs)) / 2

  const begin = (plot: uPlot): void => {
    const xs = [...fingers.values()]
    const { min, max } = plot.scales['x'] ?? {}
    const isPair = xs.length === 2 && typeof min === 'number' && typeof max === 'number'
    start = isPair ? { spread: Math.max(spreadOf(xs), 1), middle: middleOf(xs), min, max } : null
  }

  const move = (plot: uPlot): void => {
    const xs = [...fingers.values()]
    const width = plot.over.clientWidth
    if (xs.length === 1 && start === null) {
      plot.setCursor({ left: Math.min(Math.max(xs[0] as number, 0), width), top: 0 })
      return
    }
    if (start === null || xs.length !== 2) return
    const range = start.max - start.min
    const scaled = (range * start.spread) / Math.max(spreadOf(xs), 1)
    const held = start.min + (range * start.middle) / width // the instant that stays under the fingers
    const min = held - (scaled * middleOf(xs)) / width
    plot.setScale('x', { min, max: min + scaled })
  }

  const plugin: uPlot.Plugin = {
    hooks: {
      ready: (plot: uPlot) => {
        const { over } = plot
        over.style.touchAction = 'pan-y'
        const note = (event: PointerEvent): void => {
          fingers.set(event.pointerId, event.clientX - over.getBoundingClientRect().left)
        }
        const lift = (event: PointerEvent): void => {
          fingers.delete(event.pointerId)
          begin(plot)
        }
        over.addEventListener('pointerover', (event) => {
          isByFinger = event.pointerType === 'touch'
        })
        over.addEventListener('pointerdown', (event) => {
          if (event.pointerType !== 'touch') return
          note(event)
          begin(plot)
          move(plot)
        })
        over.addEventListener('pointermove', (event) => {
          if (!fingers.has(event.pointerId)) return
          note(event)
          move(plot)
        })
        over.addEventListener('pointerup', lift)
        over.addEventListener('pointercancel', lift)
      },
    },
  }
  return { plugin, isByFinger: () => isByFinger }
}
