import type uPlot from 'uplot'

/** How much one notch of a usual mouse wheel (100 px) stretches the time axis. A design choice. */
const stretchPerPx = 1.0015

/**
 * A wheel, or two fingers on a touchpad: sideways shifts the time axis, with Ctrl it stretches it round the pointer, as
 * pinching does there. Up and down alone scrolls the page as everywhere.
 */
export function createWheel(within: () => { readonly min: number; readonly max: number }): uPlot.Plugin {
  return {
    hooks: {
      ready: (plot: uPlot) => {
        plot.over.addEventListener('wheel', (event) => {
          const { min, max } = plot.scales['x'] ?? {}
          if (typeof min !== 'number' || typeof max !== 'number') return
          const whole = within()
          const { width, left } = plot.over.getBoundingClientRect()
          if (event.ctrlKey) {
            event.preventDefault()
            const range = Math.min((max - min) * stretchPerPx ** event.deltaY, whole.max - whole.min)
            const held = min + ((max - min) * (event.clientX - left)) / width
            const from = held - (range * (event.clientX - left)) / width
            plot.setScale('x', heldWithin({ min: from, max: from + range }, whole))
            return
          }
          const sideways = event.shiftKey && event.deltaX === 0 ? event.deltaY : event.deltaX
          if (sideways === 0 || (min <= whole.min && max >= whole.max)) return
          event.preventDefault()
          const by = ((max - min) * sideways) / width
          plot.setScale('x', heldWithin({ min: min + by, max: max + by }, whole))
        })
      },
    },
  }
}

/** The same length of time, moved back inside where it stuck out. */
export function heldWithin(
  { min, max }: { readonly min: number; readonly max: number },
  whole: { readonly min: number; readonly max: number },
): { min: number; max: number } {
  const range = Math.min(max - min, whole.max - whole.min)
  const from = Math.min(Math.max(min, whole.min), whole.max - range)
  return { min: from, max: from + range }
}
