import { existsSync } from 'node:fs';
import { createServer } from 'node:http';
import sirv from 'sirv';
import { FOLDER } from './policy';

/** Serves the built site on one port of this machine: `npm run serve`, or `PORT=3001 npm run serve`. */
const port = Number(process.env.PORT ?? '3000');
if (!Number.isInteger(port) || port < 1 || port > 65535) {
  console.error(`PORT must be a whole number from 1 to 65535, not "${process.env.PORT ?? ''}".`);
  process.exit(2);
}
if (!existsSync(FOLDER)) {
  console.error(`There is no build in ${FOLDER}. Run "npm run build" first.`);
  process.exit(1);
}

const files = sirv(FOLDER, {
  etag: true,
  setHeaders: (response, path) => {
    response.setHeader('X-Content-Type-Options', 'nosniff');
    response.setHeader('Referrer-Policy', 'no-referrer');
    response.setHeader('X-Frame-Options', 'DENY');
    // Names of built files hold a hash of their content, so that they never change.
    response.setHeader(
      'Cache-Control',
      path.startsWith('/_next/static/') ? 'public, max-age=31536000, immutable' : 'no-cache',
    );
  },
});

const server = createServer((request, response) => {
  files(request, response, () => {
    response.statusCode = 404;
    response.end('There is nothing at this address.');
  });
});
server.on('error', (error: NodeJS.ErrnoException) => {
  console.error(
    error.code === 'EADDRINUSE' ? `Port ${port} is in use. Choose another: PORT=3001 npm run serve` : error.message,
  );
  process.exit(1);
});
server.listen(port, () => {
  console.log(`Shimbook is at http://localhost:${port}`);
});
