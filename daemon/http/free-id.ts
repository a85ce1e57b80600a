import { slugOf } from '../../schemas/slug.ts'

/** The slug of a name, with a number behind it where another name has the same: `Bö` after `Bo` becomes `bo-2`. */
export function freeId(name: string, taken: ReadonlySet<string>): string {
  const slug = slugOf(name)
  if (!taken.has(slug)) return slug
  for (let n = 2; ; n++) {
    const id = `${slug.slice(0, longestSlug - String(n).length - 1).replace(/-+$/, '')}-${n}`
    if (!taken.has(id)) return id
  }
}

/** As in schemas/ids.ts. */
const longestSlug = 40
