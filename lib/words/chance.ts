/** A p-value as it stands in a sentence: `p = 0.03`, `p < 0.001`. */
export const pValue = (p: number): string => (p < 0.001 ? 'p < 0.001' : `p = ${p < 0.1 ? p.toFixed(3) : p.toFixed(2)}`);
