import { html, type Markup } from './markup.ts'
import { say, spokenLanguage } from '../words/say.ts'
import { reportCss } from './report-css.ts'

/** One self-contained file: no script, nothing fetched, the same in ten years. */
export const wholePage = (title: string, body: Markup): string =>
  html`<!doctype html>
<html lang="${spokenLanguage()}">
<head>
<meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1">
<title>${title}</title>
<style>${{ markup: reportCss }}</style>
</head>
<body>
<main aria-label="${say('Report')}">
${body}
</main>
</body>
</html>
`.markup
