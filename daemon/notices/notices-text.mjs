import { labelOf } from './third-parties.mjs'

/**
 * The notices as one plain text: first who, then what each licence says, once for all who say the very same.
 *
 * @param {readonly import('./third-parties.mjs').ThirdParty[]} parties
 */
export function noticesText(parties) {
  const byText = new Map()
  for (const party of parties) {
    const text = party.text ?? `No text comes with it. Its package names ${party.licence}.`
    byText.set(text, [...(byText.get(text) ?? []), party])
  }
  return [
    'Brumal is under the MIT licence. It is made with the work of these, each under its own licence:',
    parties.map((party) => `- ${party.name} ${party.version}: ${party.licence}`).join('\n'),
    ...[...byText].map(([text, same]) => `${rule}\n${same.map(labelOf).join(', ')}\n${rule}\n\n${text}`),
  ]
    .join('\n\n')
    .concat('\n')
}

const rule = '-'.repeat(80)
