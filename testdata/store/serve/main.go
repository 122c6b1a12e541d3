// Command serve runs the S3 server of the tests with the folders in a folder as its buckets, until it is killed. It
// prints its address.
package main

import (
	"context"
	"fmt"
	"log"
	"os"

	"vouchmark/testdata/store/gateway"
)

func main() {
	endpoint, ended, err := gateway.Start(context.Background(), os.Args[1])
	if err != nil {
		log.Fatal(err)
	}
	fmt.Println(endpoint)
	<-ended
}
