import type { SeasonReport } from '../../schemas/animal-report.ts'
import { figuresTable } from './figures-table.ts'
import { html } from './markup.ts'
import { instantWords } from './page-words.ts'
import { wholePage } from './whole-page.ts'
import { say } from '../words/say.ts'

/** One winter of the whole house on a page. */
export function seasonPage(report: SeasonReport): string {
  const down = report.rows.flatMap(({ name, winter }) => (winter === null ? [] : [{ name, winter }]))
  const awake = report.rows.filter(({ winter }) => winter === null)
  const title = say('{household}, winter {season}', { household: report.household, season: report.season })
  return wholePage(
    title,
    html`<header>
<h1>${title}</h1>
<p class="soft">${say('As known on {at}, by the clocks of {timeZone}.', { at: instantWords(report.at, report.timeZone), timeZone: report.timeZone })}</p>
</header>
<section><h2>${say('In the cold')}</h2>
${
  down.length === 0
    ? html`<p>${say('No animal was in the cold.')}</p>`
    : figuresTable(
        down.map(({ winter }) => winter),
        report.timeZone,
        down.map(({ name }) => name),
      )
}
</section>
<section><h2>${say('Awake')}</h2>
${awake.length === 0 ? html`<p>${say('No animal stayed awake.')}</p>` : html`<ul>${awake.map(({ name, common, latin }) => html`<li>${name}, ${common} (<i>${latin}</i>)</li>`)}</ul>`}
</section>
<footer>${report.cautions}</footer>`,
  )
}
