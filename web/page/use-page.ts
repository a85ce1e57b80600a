import { createContext } from 'preact'
import { useContext } from 'preact/hooks'
import type { Page } from './page.ts'

/** The page for every part of it. */
export const PageContext = createContext<Page | null>(null)

export function usePage(): Page {
  const page = useContext(PageContext)
  if (page === null) throw new Error('a screen was drawn outside of the page')
  return page
}
