import type { Page } from 'playwright-core'

/** What cannot be reached or read on the page as it stands, one line each. */

/** Sideways scroll, and text that is cut or lies beside the screen (WCAG 2.2 1.4.4, 1.4.10). Tables may scroll in themselves. */
export const cutOn = (page: Page): Promise<string[]> =>
  page.evaluate(() => {
    const faults: string[] = []
    const root = document.documentElement
    const nameOf = (element: Element): string =>
      `${element.tagName.toLowerCase()}.${element.className} "${(element.textContent ?? '').trim().slice(0, 40)}"`
    const wide = document.documentElement.clientWidth
    if (root.scrollWidth > wide) faults.push(`scrolls sideways: ${root.scrollWidth} in ${wide}`)
    const scrolls = (element: Element | null): boolean => {
      for (let at = element; at !== null && at !== document.body; at = at.parentElement)
        if (['auto', 'scroll'].includes(getComputedStyle(at).overflowX)) return true
      return false
    }
    const isUnseen = (element: Element): boolean =>
      element.closest('.unseen, svg, canvas, option, script, style, [hidden]') !== null ||
      !element.checkVisibility({ visibilityProperty: true, opacityProperty: true })
    const texts = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT)
    for (let node = texts.nextNode(); node !== null; node = texts.nextNode()) {
      const around = node.parentElement
      if (around === null || (node.textContent ?? '').trim() === '' || isUnseen(around)) continue
      const range = document.createRange()
      range.selectNodeContents(node)
      const boxes = [...range.getClientRects()].filter((box) => box.width > 0)
      if (boxes.length === 0 || scrolls(around)) continue
      if (boxes.some((box) => box.right > wide + 1 || box.left < -1)) faults.push(`beside: ${nameOf(around)}`)
      for (let at: Element | null = around; at !== null && at !== document.body; at = at.parentElement) {
        const { overflowX, overflowY } = getComputedStyle(at)
        const clip = at.getBoundingClientRect()
        const isCutAcross = overflowX !== 'visible' && boxes.some((box) => box.right > clip.right + 1)
        const isCutDown = overflowY !== 'visible' && boxes.some((box) => box.bottom > clip.bottom + 2)
        if (isCutAcross || isCutDown) faults.push(`cut: ${nameOf(around)} by ${nameOf(at).slice(0, 40)}`)
      }
    }
    // Fields cut what stands in them without a range to measure
    for (const select of document.querySelectorAll('select')) {
      if (isUnseen(select) || scrolls(select)) continue
      const box = select.getBoundingClientRect()
      if (box.right > wide + 1) faults.push(`beside: ${nameOf(select)}`)
    }
    return [...new Set(faults)]
  })

/** Things that can be pressed and are smaller than 24 by 24 px (WCAG 2.2 2.5.8), but for its exceptions: in a line of text, or far from others. */
export const smallOn = (page: Page): Promise<string[]> =>
  page.evaluate(() => {
    const least = 24
    /** A press on the label is a press on its box; a link may lie over the whole of its row. */
    const pressedBy = (element: Element): Element => {
      if (element.matches('[type=checkbox], [type=radio]')) return element.closest('label') ?? element
      const over = getComputedStyle(element, '::after')
      const isRow = over.position === 'absolute' && over.inset === '0px' && over.content !== 'none'
      return isRow && element instanceof HTMLElement ? (element.offsetParent ?? element) : element
    }
    const found = document.querySelectorAll(
      'a[href], button, input, select, textarea, summary, [role=button], [role=slider], [tabindex="0"]',
    )
    const targets = [...found]
      .filter(
        (element) =>
          element.checkVisibility({ visibilityProperty: true }) && element.closest('.unseen') === null,
      )
      .map((element) => ({ element, box: pressedBy(element).getBoundingClientRect() }))
      .filter(({ box }) => box.width > 0 && box.height > 0)
    const isInText = (element: Element): boolean => {
      if (getComputedStyle(element).display !== 'inline') return false
      let around = element.parentElement
      while (around !== null && getComputedStyle(around).display === 'inline') around = around.parentElement
      return (around?.textContent ?? '').trim().length > (element.textContent ?? '').trim().length
    }
    const isFree = (box: DOMRect, element: Element): boolean => {
      const [x, y] = [box.left + box.width / 2, box.top + box.height / 2]
      return targets.every(({ element: other, box: near }) => {
        if (other === element || other.contains(element) || element.contains(other)) return true
        const dx = Math.max(near.left - x, 0, x - near.right)
        const dy = Math.max(near.top - y, 0, y - near.bottom)
        const isSmall = near.width < least || near.height < least
        const apart = isSmall
          ? Math.hypot(near.left + near.width / 2 - x, near.top + near.height / 2 - y) / 2
          : Math.hypot(dx, dy)
        return apart >= least / 2
      })
    }
    return targets
      .filter(({ box }) => box.width < least - 0.5 || box.height < least - 0.5)
      .filter(({ element, box }) => !isInText(element) && !isFree(box, element))
      .map(
        ({ element, box }) =>
          `${element.tagName.toLowerCase()}.${element.className} "${(element.textContent ?? '').slice(0, 30)}" ${Math.round(box.width)} × ${Math.round(box.height)}`,
      )
  })

/** What can take the focus and does not show it by a line of 2 px, three times as light or dark as what is behind (2.4.7, 1.4.11). */
export const unseenFocusOn = async (page: Page): Promise<string[]> => {
  await page.keyboard.press('Tab') // from now on the browser shows the focus as to one who types
  return page.evaluate(() => {
    const pixel = document.createElement('canvas').getContext('2d', { willReadFrequently: true })
    if (pixel === null) return ['no canvas to read colours with']
    const rgba = (colour: string): number[] => {
      pixel.clearRect(0, 0, 1, 1)
      pixel.fillStyle = colour
      pixel.fillRect(0, 0, 1, 1)
      return [...pixel.getImageData(0, 0, 1, 1).data]
    }
    // Relative luminance and contrast as WCAG 2.2 defines them
    const light = (colour: readonly number[]): number => {
      const [r = 0, g = 0, b = 0] = colour.slice(0, 3).map((part) => {
        const share = part / 255
        return share <= 0.04045 ? share / 12.92 : ((share + 0.055) / 1.055) ** 2.4
      })
      return 0.2126 * r + 0.7152 * g + 0.0722 * b
    }
    const contrast = (one: readonly number[], other: readonly number[]): number => {
      const [a, b] = [light(one), light(other)]
      return (Math.max(a, b) + 0.05) / (Math.min(a, b) + 0.05)
    }
    const behind = (element: Element): number[] => {
      for (let at: Element | null = element; at !== null; at = at.parentElement) {
        const ground = rgba(getComputedStyle(at).backgroundColor)
        if ((ground[3] ?? 0) > 250) return ground
      }
      return rgba('canvas')
    }
    const faults: string[] = []
    const found = document.querySelectorAll<HTMLElement>(
      'a[href], button:not([disabled]), input:not([disabled]):not([hidden]), select, textarea, summary, [tabindex="0"]',
    )
    for (const element of found) {
      if (!element.checkVisibility({ visibilityProperty: true })) continue
      element.focus({ preventScroll: true })
      if (document.activeElement !== element) continue
      const { outlineStyle, outlineWidth, outlineColor, outlineOffset } = getComputedStyle(element)
      const name = `${element.tagName.toLowerCase()}.${element.className} "${(element.textContent ?? '').trim().slice(0, 30)}"`
      if (outlineStyle === 'none' || Number.parseFloat(outlineWidth) < 2) {
        faults.push(`no line: ${name}`)
        continue
      }
      const ground = behind(
        Number.parseFloat(outlineOffset) < 0 ? element : (element.parentElement ?? element),
      )
      const ratio = contrast(rgba(outlineColor), ground)
      if (ratio < 3) faults.push(`${ratio.toFixed(1)} to 1: ${name}`)
    }
    return [...new Set(faults)]
  })
}

/** What still moves for one who asked for no motion (2.3.3). */
export const movingOn = (page: Page): Promise<string[]> =>
  page.evaluate(() => {
    const seconds = (times: string): number =>
      Math.max(...times.split(',').map((time) => Number.parseFloat(time)))
    const faults: string[] = []
    for (const element of document.querySelectorAll('*'))
      for (const part of [undefined, '::before', '::after']) {
        const style = getComputedStyle(element, part)
        const moves = style.animationName !== 'none' && seconds(style.animationDuration) > 0.001
        if (moves || seconds(style.transitionDuration) > 0.001)
          faults.push(`${element.tagName.toLowerCase()}.${element.className}${part ?? ''}`)
      }
    return [...new Set([...faults, ...document.getAnimations().map((one) => `runs: ${one.id}`)])]
  })
