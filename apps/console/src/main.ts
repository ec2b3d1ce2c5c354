import { AlarmLine } from './elements/alarm-line.js';
import { ConsoleApp } from './elements/console-app.js';
import { Journal } from './elements/journal.js';
import { PersonDialog } from './elements/person-dialog.js';
import { RiskGauge } from './elements/risk-gauge.js';
import { TrendPlot } from './elements/trend-plot.js';
import { Trends } from './elements/trends.js';

customElements.define('em-alarm', AlarmLine);
customElements.define('em-journal', Journal);
customElements.define('em-person-dialog', PersonDialog);
customElements.define('em-risk-gauge', RiskGauge);
customElements.define('em-trend-plot', TrendPlot);
customElements.define('em-trends', Trends);
customElements.define('em-console', ConsoleApp);
