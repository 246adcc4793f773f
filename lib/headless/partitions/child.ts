import { outcomeSchema, taskSchema, workOut } from './one';

/** The process of one partition: it is sent its task, answers, and ends. */

// Results of a run that was killed are worked out anew, so that nobody is left to wait for these.
process.once('disconnect', () => {
  process.exit(1);
});
process.once('message', (message) => {
  void workOut(taskSchema.parse(message)).then((outcome) => {
    process.send?.(outcomeSchema.parse(outcome), () => {
      process.exit(0);
    });
  });
});
