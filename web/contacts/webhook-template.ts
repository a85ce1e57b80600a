import { say } from '../../shared/words/say.ts'

/** Content types that a template can be filled for, with a template that works at once. */
export const webhookTemplates = [
  {
    contentType: 'application/json',
    name: 'JSON',
    template: '{"title":"{{title}}","text":"{{text}}","link":"{{acknowledgeLink}}"}',
  },
  {
    contentType: 'application/x-www-form-urlencoded',
    name: say('a form'),
    template: 'title={{title}}&text={{text}}&link={{acknowledgeLink}}',
  },
  {
    contentType: 'text/plain',
    name: say('plain text'),
    template: '{{title}}\n{{text}}\n{{acknowledgeLink}}',
  },
] as const

/** What a template may hold, with what it stands for. */
export const placeholders = [
  ['title', say('what and where, in one line')],
  ['text', say('the whole message')],
  ['priority', say('high, medium or low')],
  ['link', say('opens the alarm')],
  ['acknowledgeLink', say('answers it at once')],
  ['alarm', say('the alarm’s own name')],
  ['key', say('the same for each try of one message')],
] as const

/** The template for another content type: the usual one, unless the keeper has written their own. */
export function templateFor(contentType: string, template: string): string {
  const isOwn = template.trim() !== '' && !webhookTemplates.some((one) => one.template === template)
  const usual = webhookTemplates.find((one) => one.contentType === contentType)?.template
  return isOwn ? template : (usual ?? template)
}
