import { createHash } from 'node:crypto';
import { readdir, readFile, writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import { contentSecurityPolicy, FOLDER } from './policy';

/**
 * Run after each build: writes a content security policy into every page, so that it holds whatever server hands the page
 * out. The pages carry short scripts inline; the policy names each by its hash and lets no other run.
 */
const INLINE_SCRIPT = /<script(?![^>]*\bsrc=)[^>]*>([\s\S]*?)<\/script>/g;

const hashOf = (text: string): string => `'sha256-${createHash('sha256').update(text).digest('base64')}'`;

async function sealPage(path: string): Promise<void> {
  const page = await readFile(path, 'utf8');
  const scripts = [...page.matchAll(INLINE_SCRIPT)].map((match) => hashOf(match[1] ?? ''));
  const policy = contentSecurityPolicy([...new Set(scripts)]);
  const meta = `<meta http-equiv="Content-Security-Policy" content="${policy}"/>`;
  if (!page.includes('<head>')) throw new Error(`${path} has no head to put the policy into`);
  await writeFile(path, page.replace('<head>', `<head>${meta}`));
}

const entries = await readdir(FOLDER, { recursive: true });
const pages = entries.filter((entry) => entry.endsWith('.html'));
if (pages.length === 0) throw new Error(`No pages in ${FOLDER}: build first`);
await Promise.all(pages.map((page) => sealPage(join(FOLDER, page))));
