/** Hands a file to the person, made in the page; nothing leaves the machine. */
export function save(blob: Blob, name: string): void {
  const url = URL.createObjectURL(blob);
  const link = document.createElement('a');
  link.href = url;
  link.download = name;
  document.body.append(link);
  link.click();
  link.remove();
  // The click has handed the address over; the browser reads the blob before it frees it.
  setTimeout(() => {
    URL.revokeObjectURL(url);
  }, 0);
}

/** A title as a file name: lower case, hyphens, no more than 60 characters. */
export const fileName = (title: string, ending: string): string =>
  `${
    title
      .toLowerCase()
      .replace(/[^a-z0-9]+/g, '-')
      .replace(/^-|-$/g, '')
      .slice(0, 60) || 'picture'
  }.${ending}`;
