/** Where the build leaves the site. */
export const FOLDER = 'out';

/**
 * What a page may load and reach: its own origin, and nothing else. `wasm-unsafe-eval` lets the database's compiled code
 * start; it does not let text become script.
 */
export const contentSecurityPolicy = (inlineScripts: readonly string[]): string =>
  [
    `default-src 'none'`,
    `script-src 'self' 'wasm-unsafe-eval' ${inlineScripts.join(' ')}`.trimEnd(),
    `connect-src 'self'`,
    `worker-src 'self'`,
    `style-src 'self' 'unsafe-inline'`,
    `img-src 'self' data:`,
    `font-src 'self'`,
    `base-uri 'none'`,
    `form-action 'none'`,
  ].join('; ');
