/**
 * Draws the icons that phones ask for out of `web/public/icon.svg`:
 *
 *   tsx tests/support/draw-icons.ts
 */
import { readFile, writeFile } from 'node:fs/promises'
import { openChromium } from './chromium.ts'

const folder = new URL('../../web/public/', import.meta.url)
const round = await readFile(new URL('icon.svg', folder), 'utf8')
/** To its edges: whoever shows it cuts its own shape out. The disc lies well inside the safe circle of 40 %. */
const full = round.replace(' rx="7"', '')
/** Phones draw the badge in a colour of their own: only what is opaque counts. */
const badge = round.replace(/<rect[^>]*>/, '').replaceAll('#d6d3c9', '#fff')

const icons = [
  { name: 'icon-192.png', svg: round, size: 192 },
  { name: 'icon-512.png', svg: round, size: 512 },
  { name: 'icon-maskable-512.png', svg: full, size: 512 },
  { name: 'apple-touch-icon.png', svg: full, size: 180 },
  { name: 'badge.png', svg: badge, size: 96 },
]

const browser = await openChromium()
for (const { name, svg, size } of icons) {
  const page = await browser.newPage({ viewport: { width: size, height: size } })
  const sized = svg.replace('<svg ', `<svg width="${size}" height="${size}" style="display:block" `)
  await page.setContent(`<style>body{margin:0;background:transparent}</style>${sized}`)
  await writeFile(new URL(name, folder), await page.screenshot({ omitBackground: true }))
  await page.close()
}
await browser.close()
