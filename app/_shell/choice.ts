/** A choice of the reader's own: kept in this browser and not in the address, the same in every tab. */
export class Choice<T> {
  private chosen: T | null = null;
  private readonly listeners = new Set<() => void>();

  /**
   * @param place its name in the browser's storage
   * @param parse takes what is stored, null where nothing is; what it can't read, by another version or hand, is to be the usual
   */
  constructor(
    private readonly place: string,
    private readonly parse: (stored: unknown) => T,
  ) {}

  subscribe = (listener: () => void): (() => void) => {
    if (this.listeners.size === 0) window.addEventListener('storage', this.elsewhere);
    this.listeners.add(listener);
    return () => {
      this.listeners.delete(listener);
      if (this.listeners.size === 0) window.removeEventListener('storage', this.elsewhere);
    };
  };

  read = (): T => {
    this.chosen ??= this.stored();
    return this.chosen;
  };

  choose = (chosen: T): void => {
    this.chosen = chosen;
    try {
      localStorage.setItem(this.place, JSON.stringify(chosen));
    } catch {
      // A full or barred store: the choice holds as long as the tab is open.
    }
    this.tell();
  };

  private stored(): T {
    try {
      return this.parse(JSON.parse(localStorage.getItem(this.place) ?? 'null'));
    } catch {
      return this.parse(null);
    }
  }

  private elsewhere = (event: StorageEvent): void => {
    if (event.key !== this.place && event.key !== null) return;
    this.chosen = this.stored();
    this.tell();
  };

  private tell(): void {
    for (const listener of this.listeners) listener();
  }
}
