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
  return wholePage(
    say('{household}, winter {season}', { household: report.household, season: report.season }),
    html`<header>
<h1>${report.household}, winter ${report.season}</h1>
<p class="soft">As known on ${instantWords(report.at, report.timeZone)}, by the clocks of ${report.timeZone}.</p>
</header>
<section><h2>In the cold</h2>
${
  down.length === 0
    ? html`<p>No animal was in the cold.</p>`
    : figuresTable(
        down.map(({ winter }) => winter),
        report.timeZone,
        down.map(({ name }) => name),
      )
}
</section>
<section><h2>Awake</h2>
${awake.length === 0 ? html`<p>No animal stayed awake.</p>` : html`<ul>${awake.map(({ name, common, latin }) => html`<li>${name}, ${common} (<i>${latin}</i>)</li>`)}</ul>`}
</section>
<footer>${report.cautions}</footer>`,
  )
}
