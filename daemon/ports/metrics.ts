/** What is measured, for a program that scrapes it. */
export interface MetricsDesk {
  /** As text, in OpenMetrics 1.0 or in the older Prometheus text format 0.0.4. */
  metrics(exposition: 'openMetrics' | 'prometheusText'): string
}
