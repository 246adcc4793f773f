import '@fontsource-variable/atkinson-hyperlegible-mono/wght.css';
import '@fontsource-variable/atkinson-hyperlegible-next/wght.css';
import './_style/roles.css';
import './_style/base.css';
import './_style/shell.css';
import './_style/frame.css';
import './_style/pages.css';

import type { Metadata, Viewport } from 'next';
import Link from 'next/link';
import { NuqsAdapter } from 'nuqs/adapters/next/app';
import { Suspense, type ReactElement, type ReactNode } from 'react';
import { FilterBar } from './_shell/FilterBar';
import { DropAnywhere } from './_shell/LogDrop';
import { Navigation, PlainNavigation } from './_shell/Navigation';
import { Cautions } from './_shell/Notes';
import { Notices } from './_shell/Notices';
import { Mixing } from './log/Mixing';
import { Replacing } from './log/Replacing';
import { UnitsChoice } from './_shell/UnitsChoice';

export const metadata: Metadata = {
  title: { default: 'Shimbook', template: '%s · Shimbook' },
  description: "A calibration shop's dashboard over years of injection pump job logs.",
  referrer: 'no-referrer',
};

export const viewport: Viewport = {
  width: 'device-width',
  initialScale: 1,
  themeColor: [
    { media: '(prefers-color-scheme: light)', color: '#f6f5f1' },
    { media: '(prefers-color-scheme: dark)', color: '#14181b' },
  ],
};

export default function Layout({ children }: { children: ReactNode }): ReactElement {
  return (
    <html lang="en">
      <body>
        <a className="skip" href="#main">
          To the page
        </a>
        <NuqsAdapter>
          <header className="head">
            <div className="head-inner">
              <Link href="/" className="brand">
                Shimbook
              </Link>
              <Notices />
              <Suspense fallback={<PlainNavigation />}>
                <Navigation />
              </Suspense>
              <UnitsChoice />
            </div>
          </header>
          <Suspense>
            <FilterBar />
          </Suspense>
          <DropAnywhere />
          <Mixing />
          <Replacing />
          <main className="main" id="main" tabIndex={-1}>
            <Suspense fallback={<p className="quiet">Opening …</p>}>{children}</Suspense>
          </main>
        </NuqsAdapter>
        <footer className="foot">
          <div className="foot-inner">
            <Cautions />
          </div>
        </footer>
      </body>
    </html>
  );
}
