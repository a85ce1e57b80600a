import { resolve } from 'node:path'
import { z } from 'zod'
import { type ExternalBroker, Settings, type Upstream } from '../../schemas/settings.ts'
import { dotted, mistakesOf } from './mistakes.ts'
import { isTree, settingKeys, type SettingKey, valueAt, variableOf } from './setting-keys.ts'
import { type Mistake, readYaml } from './yaml-lines.ts'

/** Where a setting's value came from; `url`: a user or password written inside the broker's URL. */
type Origin = 'default' | 'file' | 'environment' | 'url'

export type LoadedSettings =
  | {
      readonly ok: true
      readonly settings: Settings
      /** The file that was read, or null when there is none and none was asked for. */
      readonly path: string | null
      readonly origins: Readonly<Record<string, Origin>>
    }
  | { readonly ok: false; readonly path: string; readonly mistakes: readonly Mistake[] }

/** Ten times a file with every key and a comment on each (X3). */
const maxSettingsBytes = 256 * 1024

/** Variables that are not settings: the file's own name, and a switch of the tests. */
const otherVariables = ['BRUMAL_SETTINGS', 'BRUMAL_REQUIRE_PEERS']

/**
 * Reads `brumal.yaml` (`path`, else `BRUMAL_SETTINGS`, else in `cwd`) and lays the environment over it. Every mistake
 * is listed at once: those of the file with path and line, those of the environment by variable. File names come out
 * absolute, counted from `cwd`; a user and password inside the broker's URL come out beside it.
 */
export function loadSettings(world: {
  readonly env: Readonly<Record<string, string | undefined>>
  readonly cwd: string
  readonly path?: string | undefined
  /** Text of a file; throws like `fs.readFileSync`. */
  readonly readFile: (path: string) => string
}): LoadedSettings {
  const named = world.path ?? (world.env['BRUMAL_SETTINGS'] || undefined)
  const path = resolve(world.cwd, named ?? 'brumal.yaml')
  const refuse = (mistakes: readonly Mistake[]): LoadedSettings => ({ ok: false, path, mistakes })

  const text = readText(world.readFile, path)
  if (!text.ok && (named !== undefined || !text.isAbsent))
    return refuse([{ path: '', message: text.message }])
  const file = readYaml(text.ok ? text.text : '', maxSettingsBytes)
  const given = readEnvironment(world.env)
  if (!file.ok) return refuse([...file.mistakes, ...given.mistakes])

  const tree: unknown = structuredClone(file.value ?? {})
  for (const { key, value } of given.values) putIn(tree, key.path.split('.'), value)
  const parsed = Settings.safeParse(tree)
  if (!parsed.success) {
    const mistakes = mistakesOf(parsed.error).map(({ path: at, message }) => ({
      path: dotted(at),
      ...(text.ok && { line: file.lineOf(at) }),
      message,
    }))
    return refuse([...mistakes, ...given.mistakes])
  }
  const finished = finish(parsed.data, world.cwd)
  if (!finished.ok) {
    const { path: urlPath } = finished
    const at = given.values.some(({ key }) => key.path === urlPath)
      ? { path: variableOf(urlPath) }
      : { path: urlPath, line: file.lineOf(urlPath.split('.')) }
    return refuse([{ ...at, message: finished.message }, ...given.mistakes])
  }
  if (given.mistakes.length > 0) return refuse(given.mistakes)
  const unread = neededFiles.flatMap((path) => {
    const named = valueAt(finished.settings, path)
    const read = typeof named === 'string' ? readText(world.readFile, named) : null
    return read === null || read.ok ? [] : [{ path, message: `${String(named)}: ${read.message}` }]
  })
  if (unread.length > 0) return refuse(unread)
  const origins = originsOf(file.value, given, finished.settings)
  return { ok: true, settings: finished.settings, path: text.ok ? path : null, origins }
}

/** Without these the page or the mail cannot begin; the broker's own files are looked for at each try. */
const neededFiles = ['http.certFile', 'http.keyFile', 'mail.caFile'] as const

type Given = {
  readonly values: readonly { readonly key: SettingKey; readonly value: unknown }[]
  readonly mistakes: readonly Mistake[]
}

function readEnvironment(env: Readonly<Record<string, string | undefined>>): Given {
  const values: { key: SettingKey; value: unknown }[] = []
  const mistakes: Mistake[] = []
  for (const [variable, text] of Object.entries(env)) {
    if (!variable.startsWith('BRUMAL_') || otherVariables.includes(variable) || text === undefined) continue
    const key = settingKeys.find((each) => each.variable === variable)
    if (!key) {
      mistakes.push({ path: variable, message: 'is not a known setting' })
      continue
    }
    const value = valueOf(text, key)
    const checked = z.safeParse(key.schema, value)
    if (checked.success) values.push({ key, value })
    else mistakes.push(...mistakesOf(checked.error).map(({ message }) => ({ path: variable, message })))
  }
  return { values, mistakes }
}

/** Lists are parted by commas. What does not fit stays text, for the schema to refuse. */
function valueOf(text: string, { holds }: SettingKey): unknown {
  if (holds === 'number' && /^-?\d+(?:\.\d+)?$/.test(text)) return Number(text)
  if (holds === 'truth' && (text === 'true' || text === 'false')) return text === 'true'
  if (holds === 'list') return text.split(',').map((part) => part.trim())
  return text
}

/** Leaves a tree of another shape alone: the schema then names what is wrong with it. */
function putIn(tree: unknown, [name, ...rest]: readonly string[], value: unknown): void {
  if (!isTree(tree) || name === undefined) return
  if (rest.length === 0) tree[name] = value
  else putIn((tree[name] ??= {}), rest, value)
}

function originsOf(file: unknown, given: Given, settings: Settings): Record<string, Origin> {
  const origin = ({ path }: SettingKey): Origin => {
    if (given.values.some(({ key }) => key.path === path)) return 'environment'
    if (valueAt(file, path) !== undefined) return 'file'
    return canBeInUrl.includes(path) && valueAt(settings, path) !== undefined ? 'url' : 'default'
  }
  return Object.fromEntries(settingKeys.map((key) => [key.path, origin(key)]))
}

const canBeInUrl: readonly string[] = ['mqtt.broker', 'upstream'].flatMap((at) => [
  `${at}.user`,
  `${at}.password`,
])

type Finished =
  | { readonly ok: true; readonly settings: Settings }
  | { readonly ok: false; readonly path: string; readonly message: string }

function finish(settings: Settings, cwd: string): Finished {
  const from = (path: string): string => resolve(cwd, path)
  const { broker: given, ...mqtt } = settings.mqtt
  const { http, mail } = settings
  const rest = {
    ...settings,
    data: from(settings.data),
    http: {
      ...http,
      ...(http.certFile === undefined ? {} : { certFile: from(http.certFile) }),
      ...(http.keyFile === undefined ? {} : { keyFile: from(http.keyFile) }),
    },
    backup: {
      ...settings.backup,
      ...(settings.backup.folder === undefined ? {} : { folder: from(settings.backup.folder) }),
    },
    ...(mail?.caFile === undefined ? {} : { mail: { ...mail, caFile: from(mail.caFile) } }),
  }
  const broker = given && apart(given, from)
  if (broker === null) return { ok: false, path: 'mqtt.broker.url', message: notUrl }
  const upstream = settings.upstream && apart(settings.upstream, from)
  if (upstream === null) return { ok: false, path: 'upstream.url', message: notUrl }
  return {
    ok: true,
    settings: {
      ...rest,
      mqtt: broker === undefined ? mqtt : { ...mqtt, broker },
      ...(upstream === undefined ? {} : { upstream }),
    },
  }
}

/** Why it cannot be read is not passed on: that would repeat the URL, and with it the password (X4). */
const notUrl = 'is not a URL (write @ : / in a password as %40 %3A %2F)'

/** A broker with its files made absolute, and user and password taken out of its URL; null where that cannot be read. */
function apart<Some extends ExternalBroker | Upstream>(
  given: Some,
  from: (path: string) => string,
): Some | null {
  const broker = { ...given }
  for (const name of ['caFile', 'certFile', 'keyFile'] as const) {
    if (broker[name] !== undefined) broker[name] = from(broker[name])
  }
  try {
    const url = new URL(broker.url)
    // Said outside the URL wins: a variable may replace a password that the file's URL still holds.
    if (url.username !== '') broker.user ??= decodeURIComponent(url.username)
    if (url.password !== '') broker.password ??= decodeURIComponent(url.password)
    if (url.username !== '' || url.password !== '') {
      url.username = ''
      url.password = ''
      broker.url = url.href
    }
  } catch {
    return null
  }
  return broker
}

type Text =
  | { readonly ok: true; readonly text: string }
  | { readonly ok: false; readonly isAbsent: boolean; readonly message: string }

function readText(readFile: (path: string) => string, path: string): Text {
  try {
    return { ok: true, text: readFile(path) }
  } catch (error) {
    const code = error instanceof Error && 'code' in error ? String(error.code) : String(error)
    const message = code === 'ENOENT' ? 'there is no such file' : `cannot be read (${code})`
    return { ok: false, isAbsent: code === 'ENOENT', message }
  }
}
