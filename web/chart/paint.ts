/** The page's inks as the canvas needs them. */
export interface Paint {
  readonly ink: string
  readonly soft: string
  readonly rule: string
  readonly faint: string
  readonly band: string
  readonly paper: string
  readonly high: string
  readonly medium: string
  readonly low: string
  readonly font: string
}

/** Reads them from the style sheet, so that day and night have one home. */
export function readPaint(element: Element): Paint {
  const style = getComputedStyle(element)
  const ink = (name: string): string => style.getPropertyValue(name).trim()
  return {
    ink: ink('--ink'),
    soft: ink('--ink-soft'),
    rule: ink('--rule-strong'),
    faint: ink('--ghost'),
    band: ink('--band'),
    paper: ink('--paper'),
    high: ink('--high'),
    medium: ink('--medium'),
    low: ink('--low'),
    font: `12px ${style.fontFamily}`,
  }
}
