import type { WinterFigures } from '../../schemas/animal-report.ts'
import { durationWords } from '../telling/words.ts'
import { html, type Markup } from './markup.ts'
import { celsiusWords, dayWords } from './page-words.ts'
import { say } from '../words/say.ts'

/** Winters beside each other, one a row; `names` where each is another animal's. */
export function figuresTable(
  winters: readonly WinterFigures[],
  timeZone: string,
  names: readonly string[] | null = null,
): Markup {
  return html`<div class="wide"><table>
<tr>${names !== null && html`<th scope="col">animal</th>`}<th scope="col">winter</th><th scope="col">cold from</th><th scope="col">to</th><th scope="col" class="n">days</th><th scope="col" class="n">mass lost</th><th scope="col" class="n">coldest</th><th scope="col" class="n">warmest</th><th scope="col" class="n">out of band</th><th scope="col" class="n">alarms</th></tr>
${winters.map(
  (one, i) =>
    html`<tr>${names !== null && html`<th scope="row">${names[i] ?? ''}</th>`}<td>${one.season}</td><td>${dayWords(one.from, timeZone)}</td><td>${one.isOver ? dayWords(one.to, timeZone) : say('still down')}</td><td class="n">${one.coldDays}</td><td class="n">${one.lostPercent === null ? '–' : `${one.lostPercent.toFixed(1).replace('-', '−')} %`}</td><td class="n">${one.coldest === null ? '–' : celsiusWords(one.coldest.value)}</td><td class="n">${one.warmest === null ? '–' : celsiusWords(one.warmest.value)}</td><td class="n">${one.outOfBand === null ? '–' : durationWords(one.outOfBand)}</td><td class="n">${one.alarms}</td></tr>`,
)}</table></div>`
}
