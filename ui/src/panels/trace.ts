/** The best cost so far as a falling line in a box so many pixels wide and high; empty where there is too little to draw. */
export function tracePath(trace: readonly number[], width: number, height: number): string {
  const most = Math.max(...trace);
  const least = Math.min(...trace);
  if (trace.length < 2 || most === least) return '';
  const x = (i: number): number => (i / (trace.length - 1)) * width;
  const y = (cost: number): number => ((most - cost) / (most - least)) * height;
  return trace.map((cost, i) => (i === 0 ? `M0 ${y(cost).toFixed(1)}` : `H${x(i).toFixed(1)}V${y(cost).toFixed(1)}`)).join('');
}
