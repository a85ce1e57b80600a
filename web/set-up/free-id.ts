import { slugOf } from '../../schemas/slug.ts'

/** An id made from a name that none of `taken` has: `box`, else `box-2`, `box-3` … */
export function freeId(name: string, taken: readonly { readonly id: string }[]): string {
  const slug = slugOf(name)
  const isTaken = (id: string): boolean => taken.some((one) => one.id === id)
  if (!isTaken(slug)) return slug
  for (let n = 2; n <= taken.length + 1; n += 1) {
    const id = `${slug.slice(0, 36).replace(/-+$/, '')}-${n}` // 36 leaves room for the number
    if (!isTaken(id)) return id
  }
  return slug
}
