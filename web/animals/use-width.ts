import { useEffect, useRef, useState } from 'preact/hooks'

/** The width that a drawing has, in CSS pixels; 0 before it is known. */
export function useWidth() {
  const ref = useRef<HTMLDivElement>(null)
  const [width, setWidth] = useState(0)
  useEffect(() => {
    const here = ref.current
    if (here === null) return
    const watch = new ResizeObserver(() => setWidth(here.clientWidth))
    watch.observe(here)
    return () => watch.disconnect()
  }, [])
  return { ref, width }
}
