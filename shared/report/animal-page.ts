import type { AnimalReport, WinterFigures } from '../../schemas/animal-report.ts'
import type { RuleFinding } from '../../schemas/condition.ts'
import { ruleName } from '../animals/rule-name.ts'
import { daysBetween, localDate } from '../time/wall.ts'
import { durationWords, phaseWord } from '../telling/words.ts'
import { figuresTable } from './figures-table.ts'
import { html, type Markup } from './markup.ts'
import { celsiusWords, dateWords, dayWords, gramsWords, instantWords } from './page-words.ts'
import { stripCaption, stripSvg } from './strip.ts'
import { wholePage } from './whole-page.ts'
import { inReadersDigits } from '../words/reader.ts'
import { say, sayCount } from '../words/say.ts'

/** The winter of one animal as a page that can be printed, kept and handed on. */
export function animalPage(report: AnimalReport): string {
  const { animal, season } = report
  return wholePage(say('{animal}, winter {season}', { animal: animal.name, season }), body(report))
}

const sexWord = { female: say('female'), male: say('male') } as const

function body(report: AnimalReport): Markup {
  const { animal, winter, timeZone } = report
  const about = [
    animal.sex === undefined ? undefined : sexWord[animal.sex],
    animal.hatched === undefined ? undefined : say('hatched {hatched}', { hatched: animal.hatched }),
    animal.since === undefined ? undefined : say('kept here since {since}', { since: animal.since }),
    animal.mark === undefined ? undefined : say('mark {mark}', { mark: animal.mark }),
    report.place === null ? undefined : say('lives in {place}', { place: report.place.name }),
  ].filter((part) => part !== undefined)
  return html`<header>
<h1>${say('{animal}, winter {season}', { animal: animal.name, season: report.season })}</h1>
<p>${report.common} (<i>${report.latin}</i>)${about.length > 0 && html` · ${about.join(' · ')}`}</p>
<p class="soft">${report.household}. ${say('As known on {at}, by the clocks of {timeZone}.', { at: instantWords(report.at, timeZone), timeZone })}</p>
</header>
<p class="lead">${leadOf(report)}</p>
${typeof winter?.anyway === 'string' && html`<p>${say('It went down though something was missing. The reason given: {anyway}', { anyway: winter.anyway })}</p>`}
${report.place !== null && html`<section><h2>${winter === null ? say('The season') : say('The cold')}</h2>${stripSvg(report.days, stripCaption(report.days, report.place.name))}</section>`}
<div class="columns">
${winter !== null && phases(report)}
${cold(report)}
${masses(report)}
${condition(report)}
</div>
${alarms(report)}
${notes(report)}
${report.earlier.length > 0 && html`<section><h2>${say('Other winters')}</h2>${figuresTable(report.earlier, timeZone)}</section>`}
<footer>${report.cautions} ${say('Temperatures are what the sensors said, by their calibration, in the place where it lay in the middle of the winter.')}</footer>`
}

/** The winter in one sentence. */
function leadOf({ animal, winter, season, timeZone }: AnimalReport): string {
  if (winter === null)
    return say('{animal} stayed awake in the winter {season}, or nothing is known of one in the cold.', {
      animal: animal.name,
      season,
    })
  const { from, to, isOver, coldDays, outOfBand, lostPercent } = winter.figures
  const days = sayCount(coldDays, '{n} day', '{n} days')
  const span = isOver
    ? say('was in the cold from {day} to {day2}, {days}', {
        day: dayWords(from, timeZone),
        day2: dayWords(to, timeZone),
        days,
      })
    : say('has been in the cold since {day}, {days} so far', { day: dayWords(from, timeZone), days })
  const out =
    outOfBand === null
      ? say('its temperature was not heard')
      : outOfBand === 0
        ? say('its box never left its band')
        : say('its box was out of its band for {duration}', { duration: durationWords(outOfBand) })
  const mass =
    lostPercent === null
      ? say('its loss of mass is not known')
      : lostPercent >= 0
        ? say('it lost {lostPercent} % of its mass', { lostPercent: inReadersDigits(lostPercent.toFixed(1)) })
        : say('it gained {part} % of its mass', { part: inReadersDigits((-lostPercent).toFixed(1)) })
  const woken =
    winter.wokenWhy === null ? '' : say(' Woken because: {wokenWhy}', { wokenWhy: winter.wokenWhy })
  return say('{animal} {span}; {out}; {mass}.{woken}', { animal: animal.name, span, out, mass, woken })
}

function phases({ winter, timeZone }: AnimalReport): Markup {
  const steps = winter?.steps ?? []
  const date = (at: (typeof steps)[number]['from']): string => localDate(at, timeZone)
  return html`<section><h2>${say('Phases')}</h2><table><tr><th scope="col">${say('from #column')}</th><th scope="col">${say('phase')}</th><th scope="col" class="n">${say('days #column')}</th></tr>
${steps.map(({ phase, from }, i) => {
  const next = steps[i + 1]
  return html`<tr><td>${dateWords(date(from))}</td><td>${phaseWord[phase]}</td><td class="n">${next === undefined ? '' : daysBetween(date(from), date(next.from))}</td></tr>`
})}</table></section>`
}

function cold({ winter, timeZone }: AnimalReport): Markup {
  if (winter === null) return html``
  const { figures, cost } = winter
  const rows: [string, string][] = [
    ...(figures.coldest === null
      ? []
      : [
          row(
            say('Coldest'),
            say('{celsius} on {instant}', {
              celsius: celsiusWords(figures.coldest.value),
              instant: instantWords(figures.coldest.at, timeZone),
            }),
          ),
        ]),
    ...(figures.warmest === null
      ? []
      : [
          row(
            say('Warmest'),
            say('{celsius} on {instant}', {
              celsius: celsiusWords(figures.warmest.value),
              instant: instantWords(figures.warmest.at, timeZone),
            }),
          ),
        ]),
    ...(figures.outOfBand === null
      ? []
      : [
          row(
            say('Out of its band'),
            figures.outOfBand === 0 ? say('never') : durationWords(figures.outOfBand),
          ),
        ]),
    row(say('Not heard'), durationWords(figures.unknown)),
    ...(cost === null || cost.mean === null ? [] : [row(say('Mean'), celsiusWords(cost.mean))]),
    ...(cost === null || cost.meanKinetic === null
      ? []
      : [row(say('Mean kinetic temperature'), betweenWords(cost.meanKinetic))]),
    ...(cost === null || cost.known === 0
      ? []
      : [
          row(
            say('Days at {celsius} that would have used as much', {
              celsius: celsiusWords(cost.metabolicDays.reference),
            }),
            say('{days} ({least} to {most} by the published range of Q10)', {
              days: cost.metabolicDays.days.toFixed(0),
              least: cost.metabolicDays.least.toFixed(0),
              most: cost.metabolicDays.most.toFixed(0),
            }),
          ),
        ]),
  ]
  return html`<section><h2>${say('Figures')}</h2><table>${rows.map(([name, value]) => html`<tr><th scope="row">${name}</th><td>${value}</td></tr>`)}</table></section>`
}

const row = (name: string, value: string): [string, string] => [name, value]

const betweenWords = ({ least, most }: NonNullable<WinterFigures['meanKinetic']>): string =>
  celsiusWords(least) === celsiusWords(most)
    ? celsiusWords(least)
    : say('{celsius} to {celsius2}', { celsius: celsiusWords(least), celsius2: celsiusWords(most) })

function masses({ weighIns, winter, timeZone }: AnimalReport): Markup {
  const mass = winter?.mass ?? null
  const entry = mass?.entry ?? null
  return html`<section><h2>${say('Mass')}</h2>
${mass !== null && html`<p>${mass.sentence}</p>`}
${
  weighIns.length === 0
    ? html`<p class="soft">${say('Nobody weighed it.')}</p>`
    : html`<table><tr><th scope="col">${say('on #column')}</th><th scope="col" class="n">${say('mass #column')}</th><th scope="col" class="n">${say('of entry #column')}</th></tr>
${weighIns.map(({ at, grams }) => html`<tr><td>${dayWords(at, timeZone)}</td><td class="n">${gramsWords(grams)}</td><td class="n">${entry === null ? '' : `${inReadersDigits(((grams / entry.grams) * 100).toFixed(1))} %`}</td></tr>`)}</table>`
}</section>`
}

function condition({ winter }: AnimalReport): Markup {
  const found = winter?.condition ?? null
  if (found === null) return html``
  return html`<section><h2>${say('Condition when it went down')}</h2><p>${found.sentence}</p>
<ul>${found.findings.map((one) => html`<li>${ruleName[one.rule]}${one.value !== null && ` ${valueOf(one)}`}: ${one.sentence} <span class="soft">${one.source}</span></li>`)}</ul></section>`
}

const valueOf = ({ value, unit }: RuleFinding): string =>
  `${inReadersDigits(String(Number((value ?? 0).toFixed(4))))} ${unit}`.trim()

function alarms({ alarms: shown, alarmsLeftOut, timeZone }: AnimalReport): Markup {
  if (shown.length === 0)
    return html`<section><h2>${say('Alarms')}</h2><p class="soft">${say('No alarm was raised for its place.')}</p></section>`
  return html`<section><h2>${say('Alarms, and what was done')}</h2>
${alarmsLeftOut > 0 && html`<p class="soft">${sayCount(alarmsLeftOut, '{n} older ones are not listed.', '{n} older ones are not listed.')}</p>`}
<table><tr><th scope="col">${say('raised')}</th><th scope="col">${say('what #column')}</th><th scope="col">${say('lasted')}</th><th scope="col">${say('answered')}</th></tr>
${shown.map(
  (alarm) =>
    html`<tr><td>${instantWords(alarm.at, timeZone)}</td><td>${alarm.sentence}</td><td>${alarm.until === null ? say('stands') : durationWords(alarm.until - alarm.at)}</td><td>${alarm.answeredBy === null || alarm.answeredAt === null ? say('by nobody') : say('{answeredBy}, after {duration}', { answeredBy: alarm.answeredBy, duration: durationWords(alarm.answeredAt - alarm.at) })}</td></tr>`,
)}</table></section>`
}

function notes({ notes: shown, notesLeftOut, timeZone }: AnimalReport): Markup {
  if (shown.length === 0) return html``
  return html`<section><h2>${say('Noted')}</h2>
${notesLeftOut > 0 && html`<p class="soft">${sayCount(notesLeftOut, '{n} older entries are not listed.', '{n} older entries are not listed.')}</p>`}
<table>${shown.map(({ at, by, sentence }) => html`<tr><td>${instantWords(at, timeZone)}</td><td>${sentence}</td><td class="soft">${by}</td></tr>`)}</table></section>`
}
