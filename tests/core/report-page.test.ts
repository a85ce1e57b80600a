import fc from 'fast-check'
import { parse } from 'csv-parse/sync'
import { describe, expect, test } from 'vitest'
import type { ReportDay } from '../../schemas/animal-report.ts'
import { csvText } from '../../shared/report/csv-text.ts'
import { html } from '../../shared/report/markup.ts'
import { celsiusWords, dateWords, gramsWords } from '../../shared/report/page-words.ts'
import { stripCaption, stripSvg } from '../../shared/report/strip.ts'

describe('a report on paper', () => {
  test('X4: what people typed stays text, in every sign that markup knows', () => {
    const typed = `<img src=x onerror="alert('1')"> & co`
    expect(html`<p title="${typed}">${typed}</p>`.markup).toBe(
      '<p title="&lt;img src=x onerror=&quot;alert(&#39;1&#39;)&quot;&gt; &amp; co">&lt;img src=x onerror=&quot;alert(&#39;1&#39;)&quot;&gt; &amp; co</p>',
    )
    fc.assert(
      fc.property(fc.string({ unit: 'binary' }), (text) => {
        expect(html`${text}`.markup).not.toMatch(/[<>"']/)
      }),
    )
  })

  test('markup inside markup is not escaped twice, and what is absent is nothing', () => {
    expect(html`<ul>${[1, 2].map((n) => html`<li>${n}</li>`)}${null}${false}</ul>`.markup).toBe(
      '<ul><li>1</li><li>2</li></ul>',
    )
  })

  test('figures read as on every screen: a true minus, no minus nothing, grams as a scale shows them', () => {
    expect(celsiusWords(-0.64)).toBe('−0.6 °C')
    expect(celsiusWords(-0.04)).toBe('0.0 °C')
    expect(gramsWords(811.96)).toBe('812 g')
    expect(gramsWords(31.4)).toBe('31.4 g')
    expect(gramsWords(12_345)).toBe('12.35 kg')
    expect(dateWords('2027-01-03')).toBe('3 Jan 2027')
  })
})

const day = (date: string, min: number | null, max: number | null): ReportDay => ({
  date,
  min,
  mean: min === null || max === null ? null : (min + max) / 2,
  max,
  low: 2,
  high: 8,
})

describe('the strip of a winter', () => {
  test('a day that was not heard is a gap: no bar, and the line of means is broken there', () => {
    const days = [
      day('2026-12-01', 4, 6),
      day('2026-12-02', 3, 5),
      day('2026-12-03', null, null),
      day('2026-12-04', 4, 6),
      day('2026-12-05', 4, 7),
    ]
    const { markup } = stripSvg(days, 'x')
    expect(markup.match(/class="range"/g)).toHaveLength(4)
    expect(markup.match(/class="mean"/g)).toHaveLength(2)
  })

  test('its caption says the coldest and the warmest day; the earlier of two equal ones', () => {
    const days = [day('2026-12-01', 3, 6), day('2026-12-02', 1.2, 5), day('2026-12-03', 1.2, 9.4)]
    expect(stripCaption(days, 'Top box')).toContain(
      'Coldest 1.2 °C on 2 Dec 2026, warmest 9.4 °C on 3 Dec 2026.',
    )
  })

  test('of a winter that nobody heard there is a sentence instead', () => {
    expect(stripSvg([{ ...day('2026-12-01', null, null), low: null, high: null }], 'x').markup).toContain(
      'No temperature was heard',
    )
  })

  test('whatever the days, nothing is drawn outside', () => {
    const temperature = fc.float({ min: -30, max: 60, noNaN: true })
    fc.assert(
      fc.property(fc.array(fc.tuple(temperature, temperature), { minLength: 1, maxLength: 400 }), (pairs) => {
        const days = pairs.map(([a, b], i) => ({
          ...day('2026-12-01', Math.min(a, b), Math.max(a, b)),
          date: new Date(Date.UTC(2026, 6, 1 + i)).toISOString().slice(0, 10),
        }))
        for (const [, y] of stripSvg(days, 'x').markup.matchAll(/ y[12]?="([^"]*)"/g)) {
          expect(Number(y)).toBeGreaterThanOrEqual(0)
          expect(Number(y)).toBeLessThanOrEqual(151)
        }
      }),
      { numRuns: 30 },
    )
  })
})

describe('RFC 4180: what goes into a spreadsheet', () => {
  test('comes back cell for cell through an independent reader', () => {
    const cell = fc.string({ unit: 'binary' }).filter((text) => !/^[=+\-@\t\r]/.test(text))
    fc.assert(
      fc.property(fc.array(fc.tuple(cell, cell), { minLength: 1 }), (rows) => {
        const back: string[][] = parse(csvText([['a', 'b'], ...rows]), { relax_column_count: false })
        expect(back.slice(1)).toEqual(rows.map((row) => [...row]))
      }),
    )
  })

  test('text that a spreadsheet would run gets an apostrophe, a number below nothing does not (OWASP, CSV injection)', () => {
    expect(csvText([['=HYPERLINK("x")', '-2 °C', -2.5]])).toBe('"\'=HYPERLINK(""x"")",\'-2 °C,-2.5\r\n')
  })
})
