export { templateCsv } from '../../lib/log/template';
