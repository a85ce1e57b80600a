import { say } from '../../shared/words/say.ts'

/**
 * Order counts: most browsers name others, too, so the more special name is looked for first. Version/ is Safari's, where
 * the daemon has cut the rest off.
 */
const browsers: readonly (readonly [name: string, sign: RegExp])[] = [
  [say('Edge'), /\bEdgA?\//],
  [say('Opera'), /\bOPR\//],
  [say('Samsung Internet'), /\bSamsungBrowser\//],
  [say('Firefox'), /\b(?:Firefox|FxiOS)\//],
  [say('Chrome'), /\b(?:Chrome|CriOS)\//],
  [say('Safari'), /\b(?:Safari|Version)\//],
]

const systems: readonly (readonly [name: string, sign: RegExp])[] = [
  [say('Android'), /\bAndroid\b/],
  ['iPhone', /\biPhone\b/],
  ['iPad', /\biPad\b/],
  [say('Windows'), /\bWindows\b/],
  ['ChromeOS', /\bCrOS\b/],
  [say('Mac'), /\bMacintosh\b/],
  [say('Linux'), /\bLinux\b/],
]

/** A browser in a few words out of its `User-Agent` (RFC 9110 §10.1.5): `Firefox on Android`. A guess, for people. */
export function agentWords(agent: string): string {
  const nameIn = (table: typeof browsers): string | undefined =>
    table.find(([, sign]) => sign.test(agent))?.[0]
  const browser = nameIn(browsers)
  const system = nameIn(systems)
  if (browser !== undefined)
    return system === undefined ? browser : say('{browser} on {system}', { browser, system })
  if (system !== undefined) return say('A browser on {system}', { system })
  // A program says its own name first: `curl/8.5.0`
  const [program] = /^[\w.-]{2,30}/.exec(agent) ?? []
  return program ?? say('A browser that gives no name')
}
