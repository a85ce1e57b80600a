import type { WinterFigures } from '../../schemas/animal-report.ts'
import { durationWords } from '../telling/words.ts'
import { html, type Markup } from './markup.ts'
import { celsiusWords, dayWords } from './page-words.ts'
import { inReadersDigits } from '../words/reader.ts'
import { say } from '../words/say.ts'

/** Winters beside each other, one a row; `names` where each is another animal's. */
export function figuresTable(
  winters: readonly WinterFigures[],
  timeZone: string,
  names: readonly string[] | null = null,
): Markup {
  return html`<div class="wide"><table>
<tr>${names !== null && html`<th scope="col">${say('animal')}</th>`}<th scope="col">${say('winter')}</th><th scope="col">${say('cold from')}</th><th scope="col">${say('to #column')}</th><th scope="col" class="n">${say('days #column')}</th><th scope="col" class="n">${say('mass lost')}</th><th scope="col" class="n">${say('coldest')}</th><th scope="col" class="n">${say('warmest')}</th><th scope="col" class="n">${say('out of band')}</th><th scope="col" class="n">${say('alarms')}</th></tr>
${winters.map(
  (one, i) =>
    html`<tr>${names !== null && html`<th scope="row">${names[i] ?? ''}</th>`}<td>${one.season}</td><td>${dayWords(one.from, timeZone)}</td><td>${one.isOver ? dayWords(one.to, timeZone) : say('still down')}</td><td class="n">${one.coldDays}</td><td class="n">${one.lostPercent === null ? '–' : `${inReadersDigits(one.lostPercent.toFixed(1))} %`}</td><td class="n">${one.coldest === null ? '–' : celsiusWords(one.coldest.value)}</td><td class="n">${one.warmest === null ? '–' : celsiusWords(one.warmest.value)}</td><td class="n">${one.outOfBand === null ? '–' : durationWords(one.outOfBand)}</td><td class="n">${one.alarms}</td></tr>`,
)}</table></div>`
}
