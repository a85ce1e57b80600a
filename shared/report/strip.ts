import type { ReportDay } from '../../schemas/animal-report.ts'
import { celsiusWords, dateWords } from './page-words.ts'
import { html, type Markup } from './markup.ts'
import { say } from '../words/say.ts'

const width = 720
const height = 150
const left = 34
const bottom = 18
const top = 7

/** The days of a winter as one strip: least to greatest of each day, its mean, the band behind, gaps as gaps. */
export function stripSvg(days: readonly ReportDay[], caption: string): Markup {
  const values = days.flatMap(({ min, max, low, high }) =>
    [min, max, low, high].filter((one) => one !== null),
  )
  if (values.length === 0) return html`<p class="soft">${say('No temperature was heard in this time.')}</p>`
  const [least, most] = [Math.floor(Math.min(...values) - 0.5), Math.ceil(Math.max(...values) + 0.5)]
  const step = (width - left) / days.length
  const x = (i: number): number => round(left + i * step)
  const y = (value: number): number =>
    round(top + ((most - value) / (most - least)) * (height - bottom - top))
  const every = ticksFor(most - least)
  const ticks: number[] = []
  for (let value = Math.ceil(least / every) * every; value <= most; value += every) ticks.push(value)
  const parts = days.map((day, i) => [
    day.low !== null || day.high !== null
      ? html`<rect class="band" x="${x(i)}" y="${y(Math.min(most, day.high ?? most))}" width="${round(step + 0.1)}" height="${Math.max(0, round(y(Math.max(least, day.low ?? least)) - y(Math.min(most, day.high ?? most))))}"/>`
      : null,
  ])
  const bars = days.map(({ min, max }, i) =>
    min === null || max === null
      ? null
      : html`<line class="range" x1="${round(x(i) + step / 2)}" x2="${round(x(i) + step / 2)}" y1="${y(max)}" y2="${round(y(min) + 0.6)}" stroke-width="${Math.max(0.8, round(step * 0.6))}"/>`,
  )
  const firsts = days.flatMap(({ date }, i) => (date.endsWith('-01') || i === 0 ? [{ date, i }] : []))
  const labels = firsts.filter(({ i }, n) => (firsts[n + 1]?.i ?? Infinity) - i > 40 / step)
  return html`<svg role="img" aria-label="${caption}" viewBox="0 0 ${width} ${height}">
${parts}
${ticks.map((value) => html`<line class="grid" x1="${left}" x2="${width}" y1="${y(value)}" y2="${y(value)}"/><text x="${left - 4}" y="${round(y(value) + 3.5)}" text-anchor="end">${String(value).replace('-', '−')}</text>`)}
${bars}
${meanLines(days, step, y).map((points) => html`<polyline class="mean" points="${points}"/>`)}
${labels.map(({ date, i }) => html`<line class="grid" x1="${x(i)}" x2="${x(i)}" y1="0" y2="${height - bottom}"/><text x="${round(x(i) + 2)}" y="${height - 5}">${dateWords(date)}</text>`)}
</svg>
<p class="soft">${caption}</p>`
}

/** What a strip shows, in words, for its caption and for those who hear it. */
export function stripCaption(days: readonly ReportDay[], place: string): string {
  const known = days.filter((day) => day.min !== null)
  const coldest = known.reduce<ReportDay | null>(
    (so, day) => ((so?.min ?? Infinity) <= (day.min ?? Infinity) ? so : day),
    null,
  )
  const warmest = known.reduce<ReportDay | null>(
    (so, day) => ((so?.max ?? -Infinity) >= (day.max ?? -Infinity) ? so : day),
    null,
  )
  if (typeof coldest?.min !== 'number' || typeof warmest?.max !== 'number')
    return say('Temperature in {place}.', { place })
  return say(
    'Temperature in {place}, least to greatest of each day, its mean as a line, the band in grey. Coldest {celsius} on {date}, warmest {celsius2} on {date2}.',
    {
      place,
      celsius: celsiusWords(coldest.min),
      date: dateWords(coldest.date),
      celsius2: celsiusWords(warmest.max),
      date2: dateWords(warmest.date),
    },
  )
}

function meanLines(
  days: readonly ReportDay[],
  step: number,
  y: (value: number) => number,
): readonly string[] {
  const lines: string[][] = [[]]
  days.forEach(({ mean }, i) => {
    if (mean === null) lines.push([])
    else lines.at(-1)?.push(`${round(left + (i + 0.5) * step)},${y(mean)}`)
  })
  return lines.filter((line) => line.length > 1).map((line) => line.join(' '))
}

const ticksFor = (range: number): number => (range <= 8 ? 2 : range <= 20 ? 5 : 10)
const round = (value: number): number => Math.round(value * 100) / 100
