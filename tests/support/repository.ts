import { execFileSync } from 'node:child_process'
import { existsSync, readdirSync, readFileSync } from 'node:fs'
import { join } from 'node:path'
import type { SourceFile } from './rooms.ts'

export const root = new URL('../..', import.meta.url).pathname

/** What the tools make and git leaves out: no part of the repository. */
const made = ['.git', 'node_modules', 'dist', 'data', 'coverage', 'brumal.yaml']
const isMade = (name: string): boolean =>
  made.includes(name) || /^dist\.(?:next|old)-\d+$|\.(?:deb|tgz)$/.test(name)

/** Names at the top, what the tools make left out. */
export const topLevel = (): string[] => readdirSync(root).filter((name) => !isMade(name))

/** Every file of the repository: what git knows or would add, or, without git, all that is not made. */
export function filesOfRepository(): string[] {
  if (!existsSync(join(root, '.git'))) return topLevel().flatMap(filesBelow)
  const listed = execFileSync('git', ['ls-files', '-co', '--exclude-standard', '-z'], { cwd: root })
  return listed
    .toString()
    .split('\0')
    .filter((path) => path !== '' && existsSync(join(root, path)))
}

/** TypeScript of the rooms that the layers rule over. */
export const sourceFiles = (): SourceFile[] =>
  filesOfRepository()
    .filter((path) => /^(?:schemas|shared|daemon|web)\/.*\.tsx?$/.test(path))
    .map((path) => ({ path, text: readText(path) }))

export const readText = (path: string): string => readFileSync(join(root, path), 'utf8')

function filesBelow(path: string): string[] {
  const entries = readdirSync(join(root, path, '..'), { withFileTypes: true })
  const isFolder = entries.some((entry) => entry.name === path.split('/').at(-1) && entry.isDirectory())
  if (!isFolder) return [path]
  return readdirSync(join(root, path)).flatMap((name) => filesBelow(`${path}/${name}`))
}
