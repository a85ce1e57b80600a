import { useSignal } from '@preact/signals'
import type { RefObject } from 'preact'
import { useEffect } from 'preact/hooks'

/** A page of the daemon's own, shown as tall as it is, so that it scrolls with the rest. */
export function Paper({
  frame,
  title,
  src,
}: {
  frame: RefObject<HTMLIFrameElement | null>
  title: string
  src: string
}) {
  const height = useSignal(600)
  const measure = (): void => {
    const page = frame.current?.contentDocument?.documentElement
    if (page !== undefined) height.value = Math.max(300, page.scrollHeight)
  }
  useEffect(() => {
    addEventListener('resize', measure)
    return () => removeEventListener('resize', measure)
  }, [])
  return (
    <iframe
      ref={frame}
      class="paper"
      title={title}
      src={src}
      style={{ height: `${height.value}px` }}
      onLoad={measure}
    />
  )
}
