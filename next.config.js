/** @type {import('next').NextConfig} */
const config = {
  // A folder of plain files: any web server of the shop, or none of its own, can serve it.
  output: 'export',
  trailingSlash: true,
  reactStrictMode: true,
  // A filter changed draws anew only what its answer changes: without it the plots of the last answer are drawn again first.
  reactCompiler: true,
  poweredByHeader: false,
  // `npm test` checks the types of the whole project, tests included; a build need not do it again.
  typescript: { ignoreBuildErrors: true },
};

export default config;
