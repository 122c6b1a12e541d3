package sheet

import _ "github.com/xuri/excelize/v2" // reads the workbooks
